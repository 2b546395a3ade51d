import type { OutputReport } from '../core/report.ts';
import { meaningOf } from '../core/system-words.ts';
import type { Universe } from '../core/units.ts';
import { listed, protocolNames } from '../core/words.ts';
import type { EngineReport } from '../engine/messages.ts';
import type { Trouble } from './contract.ts';

/** Of universes that nothing sends, so many are named. */
const MOST_NAMED = 5;

/** What is known of the ways out; undefined while the engine has not yet reported. */
export type Outlook = Pick<EngineReport, 'outputs' | 'unsent'> | undefined;

/** Trouble with the outputs in plain words: what happened, what guests see because of it, what to do. */
export function troublesOf(outlook: Outlook): Trouble[] {
  return [...unsentTroubles(outlook?.unsent ?? []), ...(outlook?.outputs ?? []).flatMap(outputTroubles)];
}

function unsentTroubles(unsent: readonly Universe[]): Trouble[] {
  if (unsent.length === 0) return [];
  const several = unsent.length > 1;
  return [
    {
      id: 'unsent',
      happened: `${several ? 'Universes' : 'Universe'} ${listed(named(unsent))} of the show ${several ? 'are' : 'is'} sent by no output.`,
      guestsSee: `The lights on ${several ? 'them' : 'it'} stay dark, or hold what they had.`,
      todo: 'Change the outputs of this box, or the universe of those lights in the show.',
    },
  ];
}

/** Not more numbers than a phone has room for. */
const named = (universes: readonly Universe[]): string[] =>
  universes.length > MOST_NAMED
    ? [...universes.slice(0, MOST_NAMED - 1).map(String), `${universes.length - MOST_NAMED + 1} more`]
    : universes.map(String);

function outputTroubles(output: OutputReport): Trouble[] {
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
}

export const diskTrouble: Trouble = {
  id: 'disk-failing',
  happened: 'The node cannot write to its disk.',
  guestsSee: 'Nothing. But after a power cut the lights would come back as they were some time before.',
  todo: 'Make room on the disk, or change the card after the event; the rest is automatic.',
};
