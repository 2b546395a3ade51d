import type { OutputReport } from '../../../node/core/report.ts';

/** How an output fares: a word that a shape goes with, and a sentence. */
export interface Health {
  readonly state: 'well' | 'care' | 'waits' | 'fails';
  readonly words: string;
}

export function healthOf({ state, protocol, dropped, packets, towards }: OutputReport): Health {
  switch (state) {
    case 'sending': {
      if (packets === 0) return { state: 'waits', words: 'Ready, and has sent nothing yet.' };
      const partly = protocol === 'artnet' && towards.includes('no node takes');
      return partly
        ? { state: 'waits', words: 'Sends, but for some universes no node has asked.' }
        : { state: 'well', words: 'Sends. Whether it arrives cannot be seen from here.' };
    }
    case 'waiting':
      if (protocol === 'artnet' && dropped === 0)
        return { state: 'waits', words: 'Waits: no node has asked for these universes yet.' };
      return {
        state: 'fails',
        words:
          'Its cable is out, or its network is off: nothing goes out this way, and lights hold their last picture or go dark. Plug it in; the rest is automatic.',
      };
    case 'failing':
      return { state: 'fails', words: 'The system refuses what it sends. Look at the network and the firewall of the node.' };
  }
}
