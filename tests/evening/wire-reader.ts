import { mat4, vec3 } from 'gl-matrix';
import type { Show } from '../../node/show/document.ts';

/**
 * What lamps do by their slots, read without any of the node's own code: where the bytes of the demo shows' lamps stand is written down here once more, by
 * hand, and geometry is that of a matrix library.
 */
interface Layout {
  /** From 1; two bytes where there are two. */
  readonly dimmer?: readonly number[];
  readonly pan?: readonly [number, number];
  readonly tilt?: readonly [number, number];
  /** A shutter goes from closed at 0 to open at 31, and strobes from 64. */
  readonly shutter?: number;
  readonly zoom?: number;
  readonly haze?: number;
  /** Every slot but these is light, or no matter. */
  readonly size: number;
}

const layouts: Readonly<Record<string, Layout>> = {
  'beam-head 12ch': { pan: [1, 2], tilt: [3, 4], dimmer: [5, 6], shutter: 7, zoom: 12, size: 12 },
  'spot-head 12ch': { pan: [1, 2], tilt: [3, 4], shutter: 5, dimmer: [6, 7], size: 12 },
  'rgbw-par 6ch': { dimmer: [1], size: 6 },
  'hazer 2ch': { haze: 1, size: 2 },
  'dimmer 1ch': { dimmer: [1], size: 1 },
};

/** Degrees that pan and tilt of these heads turn over, and how fast at most: the middle by ratio of what is usual of their kind. */
const PAN = 540;
const TILT = 270;
const speeds: Readonly<Record<string, readonly [pan: number, tilt: number]>> = {
  'beam-head': [Math.sqrt(150 * 270), Math.sqrt(120 * 240)],
  'spot-head': [Math.sqrt(110 * 220), Math.sqrt(100 * 200)],
};

export type Slots = (universe: number) => Uint8Array;
type Fixture = Show['fixtures'][number];

export interface Head {
  readonly fixture: Fixture;
  /** Most degrees a second. */
  readonly fastest: readonly [pan: number, tilt: number];
}

export const headsOf = (show: Show): Head[] =>
  show.fixtures.flatMap((fixture) => {
    const fastest = speeds[fixture.type];
    return fastest === undefined ? [] : [{ fixture, fastest }];
  });

const layoutOf = ({ type, mode }: Fixture): Layout | undefined => layouts[`${type} ${mode}`];

function shareOf(fixture: Fixture, places: readonly number[] | undefined, slots: Slots): number | undefined {
  if (places === undefined) return undefined;
  const row = slots(fixture.universe ?? 0);
  const bytes = places.map((place) => row[(fixture.address ?? 1) + place - 2] as number);
  return bytes.reduce((sum, byte) => sum * 256 + byte, 0) / (256 ** bytes.length - 1);
}

/** Degrees of the head's own axes. */
export function anglesOf({ fixture }: Head, slots: Slots): readonly [pan: number, tilt: number] {
  const layout = layoutOf(fixture);
  return [
    ((shareOf(fixture, layout?.pan, slots) ?? 0.5) - 0.5) * PAN,
    ((shareOf(fixture, layout?.tilt, slots) ?? 0.5) - 0.5) * TILT,
  ];
}

/** Share of its dimmer that a lamp shines with; 0 where its shutter is closed. */
export function shineOf(fixture: Fixture, slots: Slots): number {
  const layout = layoutOf(fixture);
  const open = layout?.shutter === undefined || (shareOf(fixture, [layout.shutter], slots) ?? 0) > 0;
  return open ? (shareOf(fixture, layout?.dimmer, slots) ?? 0) : 0;
}

export const hazeOf = (show: Show, slots: Slots): number =>
  Math.max(
    0,
    ...show.fixtures.map((fixture) => {
      const haze = layoutOf(fixture)?.haze;
      return haze === undefined ? 0 : (shareOf(fixture, [haze], slots) ?? 0);
    }),
  );

/** Full angle at half of the middle, degrees: 15 of a spot head; a beam head's zoom goes from 4 to 45. */
export function widthOf({ fixture }: Head, slots: Slots): number {
  const layout = layoutOf(fixture);
  return layout?.zoom === undefined ? 15 : 4 + 41 * (shareOf(fixture, [layout.zoom], slots) ?? 0);
}

/** Where a beam leaves and its direction, in the room: a base, a pan about its vertical, a tilt a forearm below it, light down at rest. */
export function rayOf(
  { fixture: { pose, type } }: Head,
  pan: number,
  tilt: number,
): { readonly from: vec3; readonly to: vec3 } | undefined {
  if (pose === undefined) return undefined;
  const rad = Math.PI / 180;
  const m = mat4.create();
  mat4.translate(m, m, [pose.x, pose.y, pose.z]);
  mat4.rotateZ(m, m, (pose.facing - 90) * rad);
  if (pose.put === 'standing') mat4.rotateY(m, m, Math.PI);
  mat4.translate(m, m, [0, 0, -0.1]);
  mat4.rotateZ(m, m, pan * rad);
  mat4.translate(m, m, [0, 0, type === 'spot-head' ? -0.25 : -0.2]);
  mat4.rotateX(m, m, tilt * rad);
  const from = vec3.transformMat4(vec3.create(), [0, 0, -0.15], m);
  const beyond = vec3.transformMat4(vec3.create(), [0, 0, -1.15], m);
  return { from, to: vec3.subtract(vec3.create(), beyond, from) };
}
