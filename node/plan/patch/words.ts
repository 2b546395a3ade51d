import type { Place } from './addresses.ts';
import type { Clash } from './clashes.ts';
import { switchesInWords } from './dip.ts';
import { linesOf, TERMINATOR, UNIT_LOADS } from './lines.ts';

export interface PatchPlan {
  /** In the order of the document. */
  readonly lamps: readonly PlannedLamp[];
  /** What was wrong as it stood. */
  readonly clashes: readonly Clash[];
  /** The show with the new addresses, whole and checked. */
  readonly document: object;
}

export interface PlannedLamp extends Place {
  readonly id: string;
  readonly name: string;
  readonly type: string;
  readonly mode: string;
  readonly size: number;
  /** Where it stood before, if anywhere. */
  readonly before: Place | undefined;
}

const written = ({ universe, address }: Place): string => `${universe}.${address}`;

/** A plan for a terminal: what was wrong, who stands where, by which switches, and how many lines it takes. */
export function patchInWords({ lamps, clashes }: PatchPlan): string {
  const names = new Map(lamps.map(({ id, name }) => [id, name]));
  const found = clashes.map((clash) => clashInWords(clash, (id) => names.get(id) ?? id));
  const width = Math.max(...lamps.map(({ name }) => name.length));
  const lines = linesOf(lamps);
  return [
    ...(found.length === 0 ? [] : ['As it stood', ...found.map((text) => `  ${text}`), '']),
    ...[...lamps].sort((a, b) => a.universe - b.universe || a.address - b.address).map((lamp) => lampLine(lamp, width)),
    '',
    ...lines.map((line) => `Universe ${line.universe}, line ${line.number}: ${line.lamps.length} of ${UNIT_LOADS} unit loads`),
    TERMINATOR,
  ].join('\n');
}

function lampLine({ name, type, mode, before, ...lamp }: PlannedLamp, width: number): string {
  const stays = before?.universe === lamp.universe && before.address === lamp.address;
  const was = stays ? '' : before === undefined ? ' (new)' : ` (was ${written(before)})`;
  return `  ${written(lamp).padStart(7)}  ${name.padEnd(width)}  ${type} ${mode}, switches ${switchesInWords(lamp.address)}${was}`;
}

export function clashInWords(clash: Clash, name: (id: string) => string): string {
  if (clash.kind === 'overflow')
    return `${name(clash.id)} needs slots up to ${clash.last} of universe ${clash.universe}, which ends at 512`;
  const [one, other] = clash.ids;
  const slots = clash.from === clash.to ? `slot ${clash.from}` : `slots ${clash.from} to ${clash.to}`;
  return `${name(one)} and ${name(other)} both want ${slots} of universe ${clash.universe}`;
}
