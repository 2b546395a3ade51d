import type { Status } from '../api/local-contract.ts';
import { meaningOf } from '../core/system-words.ts';

const percent = (level: number): string => `${Math.round(level * 100)} %`;

const marks = {
  off: '       ',
  coming: 'coming ',
  on: 'on     ',
  partly: 'partly ',
  underneath: 'under  ',
  going: 'going  ',
} as const;

function watchLine({ phase, fallback }: Status['watch']): string[] {
  if (phase === 'warned') return [`Nobody has been heard of for a while: soon the fallback comes (${fallback})`];
  if (phase === 'fallen') return [`The fallback has come (${fallback}); "duskhand resume" brings back what it took away`];
  return [];
}

/** A status in words, line by line. */
export function statusInWords(status: Status): string[] {
  return [
    `${status.show.name} (revision ${status.show.revision}), ${status.frames} frames at ${status.rate}/s`,
    status.blackout
      ? 'Blackout: all lights are held dark'
      : `Master ${percent(status.masters.all)}, ${Math.round(status.bpm)} beats a minute`,
    ...watchLine(status.watch),
    ...status.troubles.map(({ happened, guestsSee, todo }) => `Trouble: ${happened} ${guestsSee} ${todo}`),
    '',
    status.playing.length === 0 ? 'Nothing plays' : 'Playing, oldest first',
    ...status.playing.map((one) => `  ${one.name}  ${one.state === 'on' ? 'on' : `${one.state} ${percent(one.weight)}`}`),
    '',
    'Buttons',
    ...status.buttons.flatMap((one) => [
      `  ${marks[one.state]} ${one.name}${one.line === '' ? '' : `: ${one.line}`}`,
      ...(one.notes ?? []).map((note) => `            ${note}`),
    ]),
    '',
    'Outputs',
    ...status.outputs.flatMap((one) => [
      `  ${one.id}: ${one.state} to ${one.towards}, ${one.packets} packets${one.dropped > 0 ? `, ${one.dropped} dropped while the link was away` : ''}`,
      ...one.errors.map(({ code, count }) => `    ${meaningOf(code)}, ${count} times`),
      ...(one.nodes ?? []).map((node) => `    node ${node.shortName} at ${node.address}`),
    ]),
  ];
}
