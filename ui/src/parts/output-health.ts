import type { OutputReport } from '../../../node/core/report.ts';

/** How an output fares: a word that a shape goes with, and a sentence. */
export interface Health {
  readonly state: 'well' | 'care' | 'waits' | 'fails';
  readonly words: string;
}

export function healthOf({ state, protocol, dropped, towards }: OutputReport): Health {
  switch (state) {
    case 'sending': {
      const partly = protocol === 'artnet' && towards.includes('no node takes');
      return partly ? { state: 'waits', words: 'Sends, but not every universe has a taker.' } : { state: 'well', words: 'Sends.' };
    }
    case 'waiting':
      if (protocol === 'artnet' && dropped === 0)
        return { state: 'waits', words: 'Waits: no node has asked for these universes yet.' };
      return { state: 'waits', words: 'Waits for its cable: nothing goes out this way. Plug it in; the rest is automatic.' };
    case 'failing':
      return { state: 'fails', words: 'The system refuses what it sends. Look at the network and the firewall of the node.' };
  }
}
