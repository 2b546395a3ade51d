import { attributes } from '../core/attributes.ts';
import { alongCurve } from '../light/curve.ts';
import { type ChannelFunction, curveOf, type FixtureType } from './fixture-type.ts';

/** Values at which a place of a wheel, a prism or a shutter is in. */
export interface Stretch {
  readonly slot: number;
  readonly from: number;
  readonly to: number;
}

/** The stretches of what is in or out by steps; undefined for what runs through. A wheel that does not tell deals its values out evenly. */
export function stretchesOf({
  attribute,
  stretches,
  physical: [first, last],
  from,
  to,
}: ChannelFunction): readonly Stretch[] | undefined {
  if (stretches !== undefined || attributes[attribute].unit !== 'slot') return stretches;
  const steps = Math.abs(last - first) + 1;
  const start = (i: number): number => Math.ceil(from + (i * (to + 1 - from)) / steps);
  return Array.from({ length: steps }, (_, i) => ({
    slot: first + Math.sign(last - first) * i,
    from: start(i),
    to: Math.max(start(i), start(i + 1) - 1),
  }));
}

/** The place that a value has in, or undefined between places. */
export const placeAt = (stretches: readonly Stretch[], value: number): number | undefined =>
  stretches.find(({ from, to }) => value >= from && value <= to)?.slot;

/** What a value within a function that runs through means in the attribute's unit (GDTF, DMXFrom and PhysicalFrom/To). */
export function physicalAt(of: ChannelFunction, value: number, curves: FixtureType['curves']): number {
  const {
    from,
    to,
    physical: [lowest, highest],
  } = of;
  const share = to === from ? 0 : (value - from) / (to - from);
  return lowest + (highest - lowest) * alongCurve(curveOf(of, curves), share);
}
