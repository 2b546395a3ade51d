import type { FixtureTypeInput } from '../fixture-type.ts';
import type { Condition, RawChannel } from './channels.ts';
import { type Job, narrow } from './job.ts';
import type { Notes } from './notes.ts';
import type { Placed } from './placing.ts';
import { masterKey, type Row } from './together.ts';
import { dmxValue } from './values.ts';

type FunctionInput = FixtureTypeInput['modes'][number]['channels'][number]['functions'][number];
type When = NonNullable<FunctionInput['when']>;

/** Channels of a mode by the name that links use: in their copies, and those that have no slots. */
export interface Links {
  readonly mode: string;
  readonly placed: ReadonlyMap<string, ReadonlyMap<string, Placed>>;
  readonly virtual: ReadonlyMap<string, RawChannel>;
}

export function linksOf(mode: string, raws: readonly RawChannel[], placed: readonly Placed[]): Links {
  const byName = new Map<string, Map<string, Placed>>();
  for (const one of placed) {
    const copies = byName.get(one.raw.name) ?? new Map<string, Placed>();
    byName.set(one.raw.name, copies);
    if (!copies.has(one.instance.key)) copies.set(one.instance.key, one);
  }
  return { mode, placed: byName, virtual: new Map(raws.filter((one) => one.offsets.length === 0).map((one) => [one.name, one])) };
}

/** The job with what its ModeMaster stands for (table 60), or as one that does nothing where that leads nowhere. */
export function withMaster({ condition, ...job }: Job, of: Placed, links: Links, notes: Notes): FunctionInput {
  if (condition === undefined) return job;
  const [channelName = ''] = condition.master.split('.');
  const virtual = links.virtual.get(channelName);
  const standing = virtual?.initial.default ?? virtual?.initial.from;
  if (virtual !== undefined && standing !== undefined) {
    const range = rangeOf(condition, virtual, notes);
    if (range !== undefined && standing >= range.from && standing <= range.to) return job;
  }
  const master = virtual === undefined ? copyFor(of, links.placed.get(channelName)) : undefined;
  const range = master === undefined || master.raw === of.raw ? undefined : rangeOf(condition, master.raw, notes);
  if (master !== undefined && range !== undefined) return { ...job, when: whenOf(master, range) };
  notes.add(
    `Mode "${links.mode}": "${job.name}" depends on "${condition.master}", which leads to no channel that can be there; it is not used`,
  );
  return { ...job, attribute: 'NoFeature' };
}

/** Says where channels need the same master to stand differently: they cannot all be had at once. */
export function noteRivals(mode: string, rows: readonly Row[], notes: Notes): void {
  /** By master, what needs it first, and another channel that needs it elsewhere. */
  const needs = new Map<string, { readonly name: string; readonly from: number; readonly to: number; rival?: string }>();
  for (const { name, functions } of rows)
    for (const { attribute, when } of functions) {
      // What is not used asks for nothing.
      if (when === undefined || attribute === 'NoFeature') continue;
      const first = needs.get(masterKey(when));
      if (first === undefined) needs.set(masterKey(when), { name, from: when.from, to: when.to });
      else if (first.name !== name && (when.from > first.to || when.to < first.from)) first.rival ??= name;
    }
  const names = new Map(rows.map(({ key, name }) => [key, name]));
  for (const [master, { name, rival }] of needs)
    if (rival !== undefined)
      notes.add(
        `Mode "${mode}": "${name}" and "${rival}" need "${names.get(master)}" at different values; of what is asked together the one in the lower slot works`,
      );
}

const whenOf = ({ raw, break: number, places }: Placed, { from, to }: Range): When => ({
  slot: places[0] as number,
  ...(number > 1 && { break: number }),
  from: narrow(from, raw),
  to: narrow(to, raw),
});

/** The master in the same copy, else in the nearest one around it, else the first. */
function copyFor({ instance: { key } }: Placed, copies: ReadonlyMap<string, Placed> | undefined): Placed | undefined {
  if (copies === undefined) return undefined;
  for (let at = key; ; at = at.slice(0, at.lastIndexOf('/'))) {
    const found = copies.get(at);
    if (found !== undefined) return found;
    if (at === '') return copies.values().next().value;
  }
}

interface Range {
  readonly from: number;
  readonly to: number;
}

/** Of a channel by ModeFrom and ModeTo, of a channel function within its own range. */
function rangeOf({ master, from, to }: Condition, { width, functions }: RawChannel, notes: Notes): Range | undefined {
  const [, logical, ...rest] = master.split('.');
  const asked = { from: dmxValue(from, width, notes), to: dmxValue(to, width, notes) };
  if (logical === undefined) return asked.from > asked.to ? undefined : asked;
  const name = rest.join('.');
  const own =
    functions.find((one) => one.name === name && (one.attribute === logical || one.logical === logical)) ??
    functions.find(({ attribute }) => attribute === logical);
  if (own === undefined) return undefined;
  const inside = { from: Math.max(own.from, asked.from), to: Math.min(own.to, asked.to) };
  return from !== undefined && to !== undefined && inside.from <= inside.to ? inside : own;
}
