import fc from 'fast-check';
import { mat4, vec3 } from 'gl-matrix';
import { describe, expect, test } from 'vitest';
import { calibrate, type Mark } from '../../../node/plan/aim/calibrate.ts';
import { missOf, waysTo } from '../../../node/plan/aim/ways.ts';
import type { Adjustments } from '../../../node/rig/adjustments.ts';
import { type Head, headOf } from '../../../node/rig/head.ts';
import { library } from '../../../node/rig/library.ts';
import type { Point, Pose } from '../../../node/rig/pose.ts';
import { type Lamp, layOut, type RigFixture } from '../../../node/rig/rig.ts';

/** A spot head of the library, patched. */
function patched(adjust: Adjustments = {}): readonly [RigFixture, Lamp] {
  const type = library.get('spot-head');
  const [mode] = type?.modes ?? [];
  if (type === undefined || mode === undefined) throw new Error('no such type');
  const [fixture] = layOut([{ id: 'one', type, mode, use: 'spot', universe: 1, address: 1, adjust }]).fixtures;
  const [lamp] = fixture?.lamps ?? [];
  if (fixture === undefined || lamp === undefined) throw new Error('no lamp');
  return [fixture, lamp];
}
const of = patched();
const headAt = (pose: Pose, [fixture, lamp] = of): Head => headOf({ ...fixture, pose }, lamp) as Head;

/** Where the light of such a head goes, by matrices of a library: a base in the room, a pan about z on it, a tilt about x on that, light down. */
function byMatrices(pose: Pose, pan: number, tilt: number): { readonly from: vec3; readonly to: vec3 } {
  const rad = Math.PI / 180;
  const m = mat4.create();
  mat4.translate(m, m, [pose.x, pose.y, pose.z]);
  mat4.rotateZ(m, m, (pose.facing - 90) * rad);
  if (pose.put === 'standing') mat4.rotateY(m, m, Math.PI);
  if (pose.put === 'sideways') mat4.rotateX(m, m, 90 * rad);
  mat4.rotateX(m, m, pose.forward * rad);
  mat4.rotateY(m, m, pose.aside * rad);
  // As `rig/library/moving.ts` has the body of a spot head.
  mat4.translate(m, m, [0, 0, -0.1]);
  mat4.rotateZ(m, m, pan * rad);
  mat4.translate(m, m, [0, 0, -0.25]);
  mat4.rotateX(m, m, tilt * rad);
  const from = vec3.transformMat4(vec3.create(), [0, 0, -0.15], m);
  const beyond = vec3.transformMat4(vec3.create(), [0, 0, -1.15], m);
  return { from, to: vec3.subtract(vec3.create(), beyond, from) };
}

/** Metres by which a beam by the library's matrices passes a point. */
function passes(pose: Pose, pan: number, tilt: number, { x, y, z }: Point): number {
  const { from, to } = byMatrices(pose, pan, tilt);
  const there = vec3.subtract(vec3.create(), [x, y, z], from);
  return vec3.length(vec3.cross(vec3.create(), there, to)) / vec3.length(to);
}

/** Of the ways to a point that a head has, the first: pan and tilt as a frame says them. */
function anglesTo(pose: Pose, point: Point) {
  const { ways, off } = waysTo(headAt(pose), point);
  return { pan: ways[0].outer, tilt: ways[0].inner, off };
}

const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });
/** A head at the side of a hall of 12 m by 12 m, up to half a degree out of true. */
const anyPose = fc.record({
  x: between(-6, 6),
  y: between(-6, -4),
  z: between(2.5, 5),
  put: fc.constantFrom('hung', 'standing', 'sideways'),
  facing: between(-180, 180),
  forward: between(-0.5, 0.5),
  aside: between(-0.5, 0.5),
}) as fc.Arbitrary<Pose>;
/** Marks as people choose them: corners of a floor and something in its middle. */
const corners: readonly Point[] = [
  { x: -4, y: -1, z: 0 },
  { x: 4, y: -1, z: 0 },
  { x: 4, y: 5, z: 0 },
  { x: -4, y: 5, z: 0 },
];
const noise = between(-0.1, 0.1);
/** What was typed: up to a metre off on the floor, and so in height; facing 30 degrees off. */
const anyRough = fc.tuple(between(-0.7, 0.7), between(-0.7, 0.7), between(-0.7, 0.7), between(-30, 30));
const roughOf = (pose: Pose, [x, y, z, turn]: readonly [number, number, number, number]): Pose => ({
  ...{ x: pose.x + x, y: pose.y + y, z: pose.z + z },
  ...{ put: pose.put, facing: pose.facing + turn, forward: 0, aside: 0 },
});

/** Marks that a head was pointed at: read as exactly as people read. */
const pointed = (pose: Pose, points: readonly Point[], read: readonly number[]): Mark[] =>
  points.flatMap((at, i): Mark[] => {
    const { pan, tilt, off } = anglesTo(pose, at);
    return off > 0 ? [] : [{ at, angles: { pan: pan + (read[2 * i] ?? 0), tilt: tilt + (read[2 * i + 1] ?? 0) } }];
  });

/** A point of the floor 8 m before the head, into the hall. */
const eightAway = ({ x, z }: Pose, y: number): Point => {
  const across = Math.sqrt(64 - z * z);
  return { x: x > 0 ? x - across * 0.4 : x + across * 0.4, y: y + across * Math.sqrt(1 - 0.16), z: 0 };
};

describe('A head whose place is only roughly typed', () => {
  test.each([3, 4])('ends within 10 cm at 8 m by %i marks that were read to a tenth of a degree', (count) => {
    fc.assert(
      fc.property(anyPose, anyRough, fc.array(noise, { minLength: 8, maxLength: 8 }), (pose, off, read) => {
        const marks = pointed(pose, corners.slice(0, count), read);
        fc.pre(marks.length === count);
        const found = calibrate(...of, marks, roughOf(pose, off));
        if (found === undefined) throw new Error('nothing found');
        const target = eightAway(pose, pose.y);
        const { pan, tilt, off: missed } = anglesTo(found.pose, target);
        fc.pre(missed === 0);
        // Where the real head shines by these angles, by another's matrices.
        expect(passes(pose, pan, tilt, target)).toBeLessThan(0.1);
        expect(Math.max(...found.misses)).toBeLessThan(0.15);
      }),
      { numRuns: 30 },
    );
  });

  test('is found though it was said to face the other way', () => {
    const pose: Pose = { x: 1, y: -5, z: 4, put: 'hung', facing: 80, forward: 0.3, aside: -0.2 };
    for (const wrong of [90, 180, -120]) {
      const rough: Pose = { ...pose, x: 1.8, z: 3.6, facing: pose.facing + wrong, forward: 0, aside: 0 };
      const found = calibrate(...of, pointed(pose, corners, []), rough);
      expect(found?.pose.facing).toBeCloseTo(80, 0);
      expect(Math.hypot((found?.pose.x ?? 9) - 1, (found?.pose.y ?? 9) + 5, (found?.pose.z ?? 9) - 4)).toBeLessThan(0.05);
      expect(Math.max(...(found?.misses ?? [9]))).toBeLessThan(0.01);
    }
  });

  test('is found as it is patched: inverted, swapped', () => {
    const pose: Pose = { x: 1, y: -5, z: 4, put: 'standing', facing: 80, forward: 0, aside: 0 };
    const turned = patched({ invert: { pan: true, tilt: false }, swapPanTilt: true });
    const head = headAt(pose, turned);
    const marks = corners.map((at): Mark => {
      const [{ outer, inner }] = waysTo(head, at).ways;
      const isPan = head.outer.cell === turned[1].cells.get('Pan');
      return { at, angles: isPan ? { pan: outer, tilt: inner } : { pan: inner, tilt: outer } };
    });
    const found = calibrate(...turned, marks, { ...pose, x: 0.3, facing: 110 });
    const [{ outer, inner }] = waysTo(headAt(found?.pose ?? pose, turned), { x: 0, y: 3, z: 0 }).ways;
    expect(missOf(head, { outer, inner }, 0, 3, 0)).toBeLessThan(0.1);
  });
});

test('marks that no place fits are missed by far, and that is told in metres', () => {
  const pose: Pose = { x: 1, y: -5, z: 4, put: 'hung', facing: 80, forward: 0, aside: 0 };
  const marks = pointed(pose, corners, []);
  // Somebody has mistaken one corner for another.
  const mistaken = marks.map((mark, i) => (i === 0 ? { ...mark, at: { x: 0, y: 5, z: 0 } } : mark));
  const found = calibrate(...of, mistaken, pose);
  expect(Math.max(...(found?.misses ?? []))).toBeGreaterThan(0.3);
});

test('two marks are too few', () => {
  const pose: Pose = { x: 1, y: -5, z: 4, put: 'hung', facing: 80, forward: 0, aside: 0 };
  expect(calibrate(...of, pointed(pose, corners.slice(0, 2), []), pose)).toBeUndefined();
});
