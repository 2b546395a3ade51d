import type { AttributeName } from '../../core/attributes.ts';
import type { Stretch } from '../channel-law.ts';
import type { RawChannel, RawFunction } from './channels.ts';
import type { Notes } from './notes.ts';
import type { RawSet } from './sets.ts';
import { isOut, type Wheel } from './wheels.ts';

/**
 * At which values each place of a wheel is in, in the order of preference: of several stretches of a place the one that is called after
 * it, then the lowest. Empty where nothing says so.
 */
export function stretchesIn(
  attribute: AttributeName,
  functions: readonly RawFunction[],
  channel: RawChannel,
  wheel: Wheel | undefined,
  notes: Notes,
): Stretch[] {
  const sets = functions.flatMap((one) => one.sets);
  const told = byIndex(sets, wheel, channel, notes) ?? byPhysical(sets, wheel) ?? byName(sets, wheel);
  const found = told ?? untold(attribute, functions, channel, wheel, notes);
  const isCalled = ({ slot, name = '' }: Named): boolean =>
    wheel?.slots.some((one, i) => wheel.placeOf(i + 1) === slot && same(one.name, name)) === true;
  const inOrder = [...found.filter(isCalled), ...found.filter((one) => !isCalled(one))];
  noteMissed(attribute, inOrder, channel, wheel, notes);
  return inOrder.map(({ slot, from, to }) => ({ slot, from, to }));
}

/** A stretch with what its set is called. */
type Named = Stretch & { readonly name: string | undefined };

const same = (a: string, b: string): boolean => a.trim().toLowerCase() === b.trim().toLowerCase();
const placed = ({ name, from, to }: RawSet, slot: number | undefined): Named[] =>
  slot === undefined ? [] : [{ slot, from, to, name }];
const found = (list: readonly Named[]): readonly Named[] | undefined => (list.length === 0 ? undefined : list);

/** Table 61: the slot index counts from 1. Where the names of sets and slots, or all of the indices, say so, a file counts from 0. */
function byIndex(
  sets: readonly RawSet[],
  wheel: Wheel | undefined,
  channel: RawChannel,
  notes: Notes,
): readonly Named[] | undefined {
  const told = sets.filter(({ index }) => index !== undefined && Number.isInteger(index) && index >= 0);
  const hits = (shift: number): number =>
    told.filter(({ name, index }) => {
      const slot = wheel?.slots[(index as number) + shift];
      return name !== undefined && slot !== undefined && same(name, slot.name);
    }).length;
  const count = wheel?.slots.length ?? 0;
  const used = new Set(told.map(({ index }) => index));
  const [fromOne, fromZero] = [hits(-1), hits(0)];
  const isFull = count > 1 && used.size === count && !used.has(count) && told[0]?.index === 0;
  const isFromZero = fromZero === fromOne ? isFull : fromZero > fromOne;
  if (isFromZero) notes.add(`Slots of "${channel.name}" count from 0 in this file, not from 1 as they should`);
  const shift = isFromZero ? 1 : 0;
  const placeOf = (index: number): number | undefined =>
    wheel === undefined ? (index >= 1 && index <= 64 ? index : undefined) : wheel.placeOf(index);
  return found(told.flatMap((one) => placed(one, placeOf((one.index as number) + shift))));
}

/** Some write the slot as the physical value of a set. */
function byPhysical(sets: readonly RawSet[], wheel: Wheel | undefined): readonly Named[] | undefined {
  if (wheel === undefined) return undefined;
  const whole = sets.filter(({ physical: [a, b] }) => a !== undefined && a === b && Number.isInteger(a));
  const values = new Set(whole.map(({ physical: [value] }) => value));
  // Fill-ins are all alike.
  if (values.size < 2) return undefined;
  const shift = values.has(0) && !values.has(wheel.slots.length) ? 1 : 0;
  return found(whole.flatMap((one) => placed(one, wheel.placeOf((one.physical[0] as number) + shift))));
}

function byName(sets: readonly RawSet[], wheel: Wheel | undefined): readonly Named[] | undefined {
  return found(
    sets.flatMap((one) => {
      const index = wheel?.slots.findIndex(({ name }) => one.name !== undefined && same(name, one.name)) ?? -1;
      return placed(one, wheel?.placeOf(index + 1));
    }),
  );
}

/** Where no set says so: sets or functions are the slots in their order, or the only function deals them out evenly. */
function untold(
  attribute: AttributeName,
  functions: readonly RawFunction[],
  channel: RawChannel,
  wheel: Wheel | undefined,
  notes: Notes,
): readonly Named[] {
  const sets = functions.flatMap((one) => one.sets).filter(({ name }) => name !== undefined);
  const steps = sets.length > 1 ? sets : functions;
  if (attribute === 'Prism1' && wheel === undefined) return prismSteps(steps, channel, notes);
  if (steps.length > 1) {
    notes.add(`${attribute} of "${channel.name}" names no slots; its ${sets.length > 1 ? 'sets' : 'functions'} are taken in order`);
    return steps.flatMap((one, i) => placed({ ...one, index: undefined, physical: [undefined, undefined] }, placeOr(wheel, i + 1)));
  }
  const [only] = functions;
  const count = wheel?.slots.length ?? 0;
  if (only === undefined || count === 0) return [];
  notes.add(`${attribute} of "${channel.name}" names no slots; ${count} are taken as dealt out evenly`);
  const at = (i: number): number => Math.ceil(only.from + (i * (only.to + 1 - only.from)) / count);
  return Array.from({ length: count }, (_, i) => ({
    slot: placeOr(wheel, i + 1) ?? 1,
    from: at(i),
    to: at(i + 1) - 1,
    name: undefined,
  })).filter(({ from, to }) => from <= to);
}

const placeOr = (wheel: Wheel | undefined, index: number): number | undefined =>
  wheel === undefined ? (index <= 64 ? index : undefined) : wheel.placeOf(index);

/** A prism of which no wheel tells: out by its words, or at the channel's low end; a lone one is in, or both where it has the whole channel. */
function prismSteps(steps: readonly Pick<RawSet, 'name' | 'from' | 'to'>[], channel: RawChannel, notes: Notes): readonly Named[] {
  notes.add(`Prism1 of "${channel.name}" names no slots; what is called out, or else begins at 0, is taken as out`);
  const [only] = steps;
  if (steps.length === 1 && only !== undefined && only.from === 0 && !isOut(only.name ?? '')) {
    const middle = Math.ceil((only.from + only.to) / 2);
    return [
      { ...only, slot: 0, to: middle - 1 },
      { ...only, slot: 1, from: middle },
    ];
  }
  const out = steps.filter(({ name }) => isOut(name ?? ''));
  const outs = out.length > 0 ? out : steps.filter(({ from }) => from === 0);
  const ins = steps.filter((one) => !outs.includes(one));
  return [...outs.map((one) => ({ ...one, slot: 0 })), ...ins.slice(0, 64).map((one, i) => ({ ...one, slot: i + 1 }))];
}

function noteMissed(
  attribute: AttributeName,
  stretches: readonly Stretch[],
  channel: RawChannel,
  wheel: Wheel | undefined,
  notes: Notes,
): void {
  const reached = new Set(stretches.map(({ slot }) => slot));
  const missed = (wheel?.slots ?? []).filter((_, i) => !reached.has(wheel?.placeOf(i + 1) ?? -1));
  if (stretches.length > 0 && missed.length > 0)
    notes.add(`${attribute} of "${channel.name}" cannot be turned to ${missed.map(({ name }) => `"${name}"`).join(', ')}`);
}
