import { type AttributeName, attribute, isEmitter, ourCells } from '../core/attributes.ts';
import { physicalAt, placeAt, stretchesOf } from './channel-law.ts';
import type { Channel, FixtureType, Mode } from './fixture-type.ts';

/** Of a wheel that stands at rest where none of its places is in: no show can ask for it. */
export const NO_PLACE = 0;

/** Light rests dark, a shutter open, and what turns without end rests still, whatever a file's defaults say. */
const restsByDefault = (name: AttributeName): boolean => {
  const { atBlackout, needsPerson } = attribute(name);
  return atBlackout === 'keep' && needsPerson !== true && !isEmitter(name) && !ourCells.includes(name);
};

/** Channels of a mode on which others hang. */
export function mastersIn({ channels }: Mode): ReadonlySet<Channel> {
  const wanted = new Set(
    channels.flatMap(({ functions }) =>
      functions.flatMap(({ when }) => (when === undefined ? [] : `${when.break ?? 1}.${when.slot}`)),
    ),
  );
  return new Set(channels.filter((one) => wanted.has(`${one.break ?? 1}.${one.slot}`)));
}

/**
 * What an attribute of a lamp is while nobody asks anything of it: what the default of its channel means, or its own rest. A wheel that
 * others need elsewhere is at no place of its own, so that each can be asked for.
 */
export function restOf(
  name: AttributeName,
  channels: readonly Channel[],
  masters: ReadonlySet<Channel>,
  curves: FixtureType['curves'],
): number {
  const { rest } = attribute(name);
  if (!restsByDefault(name)) return rest;
  for (const channel of channels) {
    const { default: standing, functions, initial = 0 } = channel;
    if (standing === undefined) continue;
    // Of functions that hang on a master the initial one works by default.
    const own = functions.filter((one, i) => one.attribute === name && (one.when === undefined || i === initial));
    if (masters.has(channel) && own.some((one) => stretchesOf(one) !== undefined)) return NO_PLACE;
    for (const one of own) {
      if (standing < one.from || standing > one.to) continue;
      const stretches = stretchesOf(one);
      const place = stretches === undefined ? physicalAt(one, standing, curves) : placeAt(stretches, standing);
      if (place !== undefined) return place;
    }
    if (own.some((one) => stretchesOf(one) !== undefined)) return NO_PLACE;
  }
  return rest;
}
