import { isEmitter } from '../../core/attributes.ts';
import type { FixtureTypeInput } from '../fixture-type.ts';
import type { Notes } from './notes.ts';

type ChannelInput = FixtureTypeInput['modes'][number]['channels'][number];
type FunctionInput = ChannelInput['functions'][number];

/** A channel of a mode with the slots of its masters found. */
export interface Row {
  /** As the file calls it, and where others find it. */
  readonly name: string;
  readonly key: string;
  readonly default: number | undefined;
  readonly functions: readonly FunctionInput[];
}

interface Range {
  readonly from: number;
  readonly to: number;
}

/**
 * A colour is mixed from emitters that shine together. Where they need one master at different values, it stands where most of them work, of
 * as many where it stands by itself, else lowest; and of the emitters that share a channel the first counts. The others do nothing.
 */
export function shiningTogether<Of extends Row>(rows: readonly Of[], mode: string, notes: Notes): Of[] {
  const defaults = new Map(rows.map((row) => [row.key, row]));
  const needs = new Map<string, Range[]>();
  for (const { functions } of rows)
    for (const { attribute, when } of functions) {
      if (when === undefined || !isEmitter(attribute)) continue;
      const key = masterKey(when);
      needs.set(key, [...(needs.get(key) ?? []), when]);
    }
  const stands = new Map([...needs].map(([key, ranges]) => [key, mostAt(ranges, defaults.get(key)?.default)]));
  return rows.map((row) => {
    let own: FunctionInput | undefined;
    const functions = row.functions.map((one) => {
      if (!isEmitter(one.attribute)) return one;
      const { when } = one;
      const master = when === undefined ? undefined : defaults.get(masterKey(when))?.name;
      if (when !== undefined && !holds(when, stands.get(masterKey(when)) as number))
        notes.add(
          `Mode "${mode}": ${one.attribute} of "${row.name}" needs "${master}" elsewhere than most emitters of the lamp do; it is not used`,
        );
      else if (own !== undefined) notes.add(`${one.attribute} of "${row.name}" is not used: another emitter has the channel`);
      else {
        own = one;
        return one;
      }
      const { when: _, ...idle } = one;
      return { ...idle, attribute: 'NoFeature' as const };
    });
    return { ...row, functions };
  });
}

export const masterKey = ({ slot, break: number = 1 }: { readonly slot: number; readonly break?: number | undefined }): string =>
  `${number}.${slot}`;

const holds = ({ from, to }: Range, value: number): boolean => value >= from && value <= to;

/** Where most ranges hold: that changes nowhere but at the beginning of one. */
function mostAt(ranges: readonly Range[], standing: number | undefined): number {
  const begins = ranges.map(({ from }) => from).sort((a, b) => a - b);
  let [best, most] = [begins[0] as number, 0];
  for (const value of new Set(standing === undefined ? begins : [standing, ...begins])) {
    const count = ranges.filter((one) => holds(one, value)).length;
    if (count > most) [best, most] = [value, count];
  }
  return best;
}
