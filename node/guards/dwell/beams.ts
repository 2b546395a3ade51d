import type { Frame } from '../../core/frame.ts';
import { fixedLight, type Head, headOf } from '../../rig/head.ts';
import { beamsOf } from '../../rig/lamp-beams.ts';
import type { Pose } from '../../rig/pose.ts';
import type { Lamp, Rig, RigFixture } from '../../rig/rig.ts';
import { ownAngle, shine } from '../../rig/turning.ts';
import { type Amount, amountsOf, amountsOfPart } from '../amounts.ts';
import { standsAt } from '../stands-at.ts';

/** Of a head of which nobody tells how wide its beam is. Degrees. */
const USUAL_ANGLE = 15;
/** Beside the beam angle, of a beam of which only that is told: a Gaussian one has a tenth of its middle at so much, the root of ln 10 / ln 2. */
const USUAL_SPREAD = 1.8226;
/**
 * A lamp that does not turn is judged up to this beam angle, in degrees: what is wider washes a room, people in it, and is weak at each eye. Common
 * practice, no source.
 */
const NARROW = 20;

/** A beam as the guard sees it: of a head, or of a lamp that stands still. */
export interface Beam {
  /** By which it is known to the next show: where it is patched, and which part of it. */
  readonly key: string;
  readonly place: number;
  /** What turns it, or where it goes: one of both. */
  readonly head?: Head;
  readonly fixed?: Float64Array;
  /** Its place among those that have one in the room; -1: nobody knows where it is. */
  readonly placed: number;
  /** The cell that says whether it is meant to rest where it is aimed; a lamp that stands still has none. */
  readonly rests: number | undefined;
  /** Cells all of which must be above 0 for it to shine. */
  readonly opens: readonly number[];
  readonly zoom: number | undefined;
  /** Full angle at half of the middle, degrees; by how much that at a tenth is wider. */
  readonly angle: number;
  readonly spread: number;
  readonly amounts: readonly Amount[];
}

export const angleOf = ({ zoom, angle }: Beam, frame: Frame): number =>
  zoom === undefined ? angle : Math.max(1, frame[zoom] as number);

/** Whether it shines, is narrow enough, and is not meant to rest. */
export function isJudged(beam: Beam, frame: Frame): boolean {
  const { rests, opens, fixed } = beam;
  if (rests !== undefined && (frame[rests] as number) >= 0.5) return false;
  for (let i = 0; i < opens.length; i++) if ((frame[opens[i] as number] as number) <= 0) return false;
  return fixed === undefined || angleOf(beam, frame) <= NARROW;
}

/** Where its light goes, into `ray`. */
export function lightOf({ head, fixed }: Beam, frame: Frame, ray: Float64Array): void {
  if (fixed !== undefined) ray.set(fixed);
  else if (head !== undefined)
    shine(
      head,
      ownAngle(head.outer, frame[head.outer.cell] as number),
      ownAngle(head.inner, frame[head.inner.cell] as number),
      ray,
    );
}

const somewhere: Pose = { x: 0, y: 0, z: 0, put: 'hung', facing: 0, forward: 0, aside: 0 };

export function beamsIn({ fixtures }: Rig): Beam[] {
  let placed = 0;
  return fixtures
    .flatMap((fixture, place) =>
      fixture.type.kind === 'laser'
        ? []
        : [...fixture.lamps.flatMap((lamp) => headBeam(fixture, lamp, place)), ...stillBeam(fixture, place)],
    )
    .map((beam) => ({ ...beam, placed: fixtures[beam.place]?.pose === undefined ? -1 : placed++ }));
}

function headBeam(fixture: RigFixture, lamp: Lamp, place: number): Omit<Beam, 'placed'>[] {
  const { pose } = fixture;
  const head = headOf({ ...fixture, pose: pose ?? somewhere }, lamp);
  const rests = lamp.cells.get('AimRests');
  const amounts = amountsOfPart(fixture, lamp);
  if (head === undefined || rests === undefined || !amounts.some(({ shades }) => shades)) return [];
  const { angle = USUAL_ANGLE, spread } = widthOf(fixture, lamp);
  return [{ ...common(fixture, lamp, place), head, rests, angle, spread, amounts }];
}

/** Whoever puts a narrow lamp on a centrepiece has aimed it there to stay. */
function stillBeam(fixture: RigFixture, place: number): Omit<Beam, 'placed'>[] {
  const [whole] = fixture.lamps;
  const fixed = fixture.use === 'centrepiece' ? undefined : fixedLight(fixture);
  const amounts = amountsOf(fixture);
  const { angle, spread } = widthOf(fixture, whole);
  if (fixed === undefined || angle === undefined || !amounts.some(({ shades }) => shades)) return [];
  return [{ ...common(fixture, whole, place), fixed, rests: undefined, angle, spread, amounts }];
}

function widthOf({ type }: RigFixture, lamp: Lamp): { readonly angle?: number; readonly spread: number } {
  const { angle, field } = beamsOf(type, lamp)[0] ?? type.beam ?? {};
  if (angle === undefined || angle <= 0) return { spread: USUAL_SPREAD };
  return { angle, spread: field === undefined || field < angle ? USUAL_SPREAD : field / angle };
}

const common = (fixture: RigFixture, lamp: Lamp, place: number): Pick<Beam, 'key' | 'place' | 'opens' | 'zoom'> => ({
  key: `${standsAt(fixture)}.${lamp.part}`,
  place,
  opens: [...new Set([fixture.lamps[0], lamp])].flatMap(({ cells }) =>
    (['Dimmer', 'Shutter1'] as const).flatMap((name) => cells.get(name) ?? []),
  ),
  zoom: lamp.cells.get('Zoom'),
});
