import { type AttributeName, attribute, attributes, isEmitter } from '../core/attributes.ts';
import type { Frame } from '../core/frame.ts';
import { clampLevel } from '../core/units.ts';
import { againstCurve, alongCurve, type Curve } from '../light/curve.ts';
import { levelFor, lightAt } from '../light/lightness.ts';
import { placeAt, type Stretch, stretchesOf } from '../rig/channel-law.ts';
import { type Channel, type ChannelFunction, curveOf, type Mode } from '../rig/fixture-type.ts';
import { dimmerCurveOf, dimmingOf, type Lamp, type RigFixture, startOf } from '../rig/rig.ts';

/** One job of a channel, with its place in the frame looked up. */
export interface Job {
  /** Cell of the frame; -1 where the value comes from nowhere. */
  readonly cell: number;
  /** Place among the lamp's emitters, or -1. */
  readonly emitter: number;
  readonly rest: number;
  /** What the frame says is a level, of which this share is let through; absent where it is no level. */
  readonly most: number | undefined;
  /** What the frame says otherwise, times `factor` and plus `offset`: inverted axes of the patch. */
  readonly factor: number;
  readonly offset: number;
  readonly lowest: number;
  readonly span: number;
  readonly first: number;
  readonly last: number;
  /** Of what is in or out by steps. */
  readonly stretches: readonly Stretch[] | undefined;
  /** Nobody has told where its places are: they are dealt out evenly. */
  readonly isDealt: boolean;
  readonly isDimmer: boolean;
  /** At 0 it lets no light out. */
  readonly closes: boolean;
  readonly flashes: boolean;
  /** Not to be begun by anything but being asked for. */
  readonly needsPerson: boolean;
  readonly curve: Curve;
  /** How light follows what it gives, for what the lamp is dimmed by; linear where that is not known. */
  readonly dimming: Curve;
  /** Only while the channel of that place in the mode stands in this range; -1 is none that there is. */
  readonly when: { readonly channel: number; readonly from: number; readonly to: number } | undefined;
}

/** Where in its mode each channel stands, to find it by its slot. */
export type ChannelPlaces = ReadonlyMap<string, number>;
export const channelPlaces = ({ channels }: Mode): ChannelPlaces => new Map(channels.map((one, i) => [placeKey(one), i]));
const placeKey = ({ slot, break: number = 1 }: { readonly slot: number; readonly break?: number | undefined }): string =>
  `${number}.${slot}`;

export function jobFrom(of: ChannelFunction, lamp: Lamp, fixture: RigFixture, atRest: Frame, places: ChannelPlaces): Job {
  const { attribute: name, from, to, physical, when } = of;
  const [lowest, highest] = physical;
  const asked = fixture.adjust.swapPanTilt === true ? (swapped[name] ?? name) : name;
  const cell = lamp.cells.get(asked) ?? -1;
  const isDimmed = name === 'Dimmer' || (!lamp.hasDimmer && (isEmitter(name) || name === 'ColorAdd_UV'));
  const inverted = axes[name] !== undefined && fixture.adjust.invert?.[axes[name]] === true;
  return {
    cell,
    emitter: isEmitter(name) ? lamp.emitters.indexOf(name) : -1,
    rest: cell < 0 ? attributes[name].rest : (atRest[cell] as number),
    most: attribute(name).intensity !== true ? undefined : dims(name, lamp, fixture) ? (fixture.adjust.dim ?? 1) : 1,
    factor: inverted ? -1 : 1,
    // Mirrored about the middle of the axis, which need not be 0.
    offset: inverted ? lowest + highest : 0,
    lowest,
    span: highest - lowest,
    first: from,
    last: to,
    stretches: stretchesOf(of),
    isDealt: of.stretches === undefined,
    isDimmer: name === 'Dimmer',
    closes: cell >= 0 && (attribute(name).intensity === true || name === 'Shutter1'),
    flashes: attributes[name].unit === 'hertz',
    needsPerson: attribute(name).needsPerson === true,
    curve: isDimmed ? dimmerCurveOf(of, fixture) : curveOf(of, fixture.type.curves),
    dimming: isDimmed ? dimmingOf(fixture) : 'linear',
    when: when === undefined ? undefined : { channel: places.get(placeKey(when)) ?? -1, from: when.from, to: when.to },
  };
}

const axes: Readonly<Partial<Record<AttributeName, 'pan' | 'tilt'>>> = { Pan: 'pan', Tilt: 'tilt' };
const swapped: Readonly<Partial<Record<AttributeName, AttributeName>>> = { Pan: 'Tilt', Tilt: 'Pan' };

/** Whether the last word on how much light leaves the fixture is this job's: once, not again in the parts behind a dimmer of the whole. */
function dims(name: AttributeName, lamp: Lamp, { lamps: [whole] }: RigFixture): boolean {
  if (name === 'Dimmer') return lamp.part === 0 || !whole.hasDimmer;
  return name === 'ColorAdd_UV' && !lamp.hasDimmer;
}

/** Whether the job can give what the frame asks; another it must cut. */
export function holds({ stretches, lowest, span }: Job, value: number): boolean {
  if (stretches === undefined) return value >= Math.min(lowest, lowest + span) && value <= Math.max(lowest, lowest + span);
  for (const { slot } of stretches) if (slot === value) return true;
  return false;
}

/**
 * Channel value with its fraction, between the ends of the function by its curve (GDTF, DMXFrom and PhysicalFrom/To), in place of `values[at]`.
 * Of places that are only dealt out one is at 0 itself: there wheels are open and prisms out, however many places they have (common practice, no
 * source).
 */
export function toChannelValue(job: Job, values: Float64Array, at: number): void {
  const value = values[at] as number;
  if (job.stretches !== undefined) {
    const place = nearest(job.stretches, value);
    values[at] = job.isDealt && place.from === 0 ? 0 : middleOf(place);
    return;
  }
  const share = job.span === 0 ? 0 : clampLevel((value - job.lowest) / job.span);
  values[at] = job.first + (job.last - job.first) * (job.curve === 'linear' ? share : againstCurve(job.curve, share));
}

/** Of two places as near the earlier stretch. */
function nearest(stretches: readonly Stretch[], value: number): Stretch {
  let found = stretches[0] as Stretch;
  for (const one of stretches) if (Math.abs(one.slot - value) < Math.abs(found.slot - value)) found = one;
  return found;
}

const middleOf = ({ from, to }: Stretch): number => Math.floor((from + to + 1) / 2);

/**
 * What a job gives, in its unit, into `values[at]`: a level is turned into light, and light, of an emitter too, against the curve of the lamp.
 * Arrays go from hand to hand: a number would be boxed.
 */
export function ask(job: Job, frame: Frame, mixed: Float64Array, values: Float64Array, at: number): void {
  if (job.emitter < 0 && job.cell < 0) values[at] = job.lowest;
  else if (job.emitter < 0 && job.most === undefined) values[at] = job.offset + job.factor * (frame[job.cell] as number);
  else {
    const light = job.emitter >= 0 ? (mixed[job.emitter] as number) : lightAt(frame[job.cell] as number) * (job.most as number);
    values[at] = job.dimming === 'linear' ? light : againstCurve(job.dimming, clampLevel(light));
  }
}

/** What the frame says where a job gives this: {@link ask} read backwards. */
export function frameValueOf({ most, factor, offset, dimming, emitter }: Job, physical: number): number {
  if (most !== undefined) return levelFor(alongCurve(dimming, physical) / most);
  return emitter >= 0 ? alongCurve(dimming, physical) : (physical - offset) / factor;
}

/** Whether the job has a value: between the places of a wheel it has none. */
export const has = ({ first, last, stretches }: Job, value: number): boolean =>
  value >= first && value <= last && (stretches === undefined || placeAt(stretches, value) !== undefined);

/** What a channel value that the job {@link has} means in the attribute's unit: {@link toChannelValue} read backwards. */
export function physicalOf(job: Job, value: number): number {
  if (job.stretches !== undefined) return placeAt(job.stretches, value) as number;
  const share = job.last === job.first ? 0 : (value - job.first) / (job.last - job.first);
  return job.lowest + job.span * alongCurve(job.curve, share);
}

/** Places of a channel's bytes in the universe of its start address, from 0, the highest byte first. */
export function placesOf({ slot, fine, ultra, break: number }: Channel, fixture: RigFixture): number[] {
  const start = startOf(fixture, number);
  return start === undefined
    ? []
    : [slot, fine, ultra].filter((one) => one !== undefined).map((one) => start.address - 1 + one - 1);
}
