import type { Channel, ChannelFunction, FixtureType, Mode } from './fixture-type.ts';

type Pieces = NonNullable<FixtureType['geometry']>;

/**
 * The channels of a mode, with one dimmer to a light: where one hangs on what another dims (GDTF, table 58: a channel works on its geometry and
 * what hangs on that), the light passes both, and half the level twice would be a fifth of it. The inner one is a shutter then, open at rest.
 */
export const oneDimmerEach = ({ channels }: Mode, pieces: Pieces): readonly Channel[] =>
  channels.map((inner) =>
    channels.some((outer) => outer !== inner && isBehind(inner, outer, pieces)) ? shuttering(inner) : inner,
  );

/** Parts of a lamp stand open behind its whole as they are asked to: this is about dimmers of one and the same. */
const isBehind = (inner: Channel, outer: Channel, pieces: Pieces): boolean =>
  inner.part === outer.part &&
  inner.functions.some(dims) &&
  !inner.functions.some(({ attribute }) => attribute === 'Shutter1') &&
  outer.functions.some((one) => dims(one) && one.when === undefined) &&
  inner.geometry !== outer.geometry &&
  hangsOn(inner, outer, pieces);

const dims = ({ attribute }: ChannelFunction): boolean => attribute === 'Dimmer';

const shuttering = (channel: Channel): Channel => ({
  ...channel,
  functions: channel.functions.map((one) => (dims(one) ? { ...one, attribute: 'Shutter1' } : one)),
});

/** Whether a channel lights a piece that hangs on what the other one works: a lens in a head. */
export function hangsOn(inner: Channel, outer: Channel, pieces: Pieces): boolean {
  let at: number | undefined = pieces.findIndex(({ name }) => name === inner.geometry);
  for (; at !== undefined && at >= 0; at = pieces[at]?.on) if (pieces[at]?.name === outer.geometry) return true;
  return false;
}
