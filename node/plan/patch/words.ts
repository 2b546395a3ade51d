import type { Place } from './addresses.ts';
import type { Clash } from './clashes.ts';
import { switchesInWords } from './dip.ts';
import { linesOf, TERMINATOR, UNIT_LOADS } from './lines.ts';

export interface PatchPlan {
  /** In the order of the document, a lamp with several start addresses once for each. */
  readonly lamps: readonly PlannedLamp[];
  /** What was wrong as it stood. */
  readonly clashes: readonly Clash[];
  /** The show with the new addresses, whole and checked. */
  readonly document: object;
}

/** A lamp at one of its start addresses. */
export interface PlannedLamp extends Place {
  readonly id: string;
  /** What it is called there: of a second start address with that. */
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
  const found = clashes.map((clash) => clashInWords(clash));
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

/** Lamps are called by their names in a clash. */
function clashInWords(clash: Clash): string {
  if (clash.kind === 'overflow')
    return `${clash.id} needs slots up to ${clash.last} of universe ${clash.universe}, which ends at 512`;
  const [one, other] = clash.ids;
  const slots = clash.from === clash.to ? `slot ${clash.from}` : `slots ${clash.from} to ${clash.to}`;
  return `${one} and ${other} both want ${slots} of universe ${clash.universe}`;
}
