import type { OutputReport } from '../core/report.ts';
import { meaningOf } from '../core/system-words.ts';
import { protocolNames } from '../core/words.ts';
import type { Trouble } from './contract.ts';

/** Trouble with the outputs in plain words: what happened, what guests see because of it, what to do. */
export function troublesOf(outputs: readonly OutputReport[]): Trouble[] {
  return outputs.flatMap((output): Trouble[] => {
    const name = protocolNames[output.protocol];
    if (output.state === 'failing') {
      return [
        {
          id: `${output.id}-failing`,
          happened: `The system refuses what ${name} sends: ${meaningOf(output.errors.at(-1)?.code ?? 'no code')}.`,
          guestsSee: 'Lights that are fed this way hold their last picture, or go dark.',
          todo: 'Look at the network settings and the firewall of the node; the rest is automatic.',
        },
      ];
    }
    if (output.state === 'waiting' && output.dropped > 0) {
      return [
        {
          id: `${output.id}-away`,
          happened: `The cable to the lights is out, or their network is off (${name}).`,
          guestsSee: 'They hold their last picture, or go dark.',
          todo: 'Plug it in; the rest is automatic.',
        },
      ];
    }
    return [];
  });
}

export const diskTrouble: Trouble = {
  id: 'disk-failing',
  happened: 'The node cannot write to its disk.',
  guestsSee: 'Nothing. But after a power cut the lights would come back as they were some time before.',
  todo: 'Make room on the disk, or change the card after the event; the rest is automatic.',
};
