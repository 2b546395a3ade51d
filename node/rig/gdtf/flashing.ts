import { attributeOf } from './attribute.ts';
import type { Condition, RawChannel, RawFunction } from './channels.ts';
import type { Notes } from './notes.ts';

/** The frequency of flashes of a lamp whose file has no strobe by its shutter, and the mode in which that flashes evenly (annex A, from memory). */
const isFrequency = ({ attribute }: RawFunction): boolean => /^strobe(frequency|rate)$/i.test(attribute);
const isMode = ({ attribute }: RawFunction): boolean => /^strobemodestrobe$/i.test(attribute);
const isShutter = ({ attribute }: RawFunction): boolean => /^strobemodeshutter$/i.test(attribute);

/**
 * Channels of a mode, the frequency of flashes worked as the strobe of its shutter where it has no other: so such a lamp flashes when it is asked to.
 * Where a channel has a mode for that and the file does not say that the frequency hangs on it, it does.
 */
export function flashing(channels: readonly RawChannel[], notes: Notes): readonly RawChannel[] {
  const all = channels.flatMap(({ functions }) => functions);
  const isThere = (name: string): boolean => all.some(({ attribute }) => attributeOf(attribute) === name);
  const frequencies = isThere('Shutter1Strobe') ? [] : evenly(all.filter(isFrequency));
  const shutters = isThere('Shutter1') ? [] : all.filter(isShutter);
  if (frequencies.length + shutters.length === 0) return channels;
  return channels.map((channel) => {
    const instead = new Map<RawFunction, RawFunction>();
    for (const one of channel.functions) {
      const worked = frequencies.includes(one) ? 'Shutter1Strobe' : shutters.includes(one) ? 'Shutter1' : undefined;
      if (worked === undefined) continue;
      notes.add(`${one.attribute} is worked as ${worked}`);
      const condition = one.condition ?? (worked === 'Shutter1Strobe' ? conditionFor(channel, channels) : undefined);
      instead.set(one, { ...one, attribute: worked, condition });
    }
    const now = (one: RawFunction): RawFunction => instead.get(one) ?? one;
    return { ...channel, functions: channel.functions.map(now), initial: now(channel.initial) };
  });
}

/** Of frequencies under several conditions those that flash evenly, else those that hang on nothing, else the first kind. */
function evenly(all: readonly RawFunction[]): readonly RawFunction[] {
  const even = all.filter(({ condition }) => /\.strobemodestrobe\b/i.test(condition?.master ?? ''));
  const free = all.filter(({ condition }) => condition === undefined);
  if (even.length > 0) return even;
  return free.length > 0 ? free : all.filter(({ condition }) => JSON.stringify(condition) === JSON.stringify(all[0]?.condition));
}

/** Where the mode of even flashes is in another channel, best of the same geometry. */
function conditionFor(of: RawChannel, channels: readonly RawChannel[]): Condition | undefined {
  const able = channels.filter((one) => one !== of && one.offsets.length > 0 && one.functions.some(isMode));
  const master = able.find(({ geometry }) => geometry === of.geometry) ?? able[0];
  const mode = master?.functions.find(isMode);
  if (master === undefined || mode === undefined) return undefined;
  return { master: master.name, from: `${mode.from}/${master.width}`, to: `${mode.to}/${master.width}` };
}
