import fc from 'fast-check';
import { mat4, vec3 } from 'gl-matrix';
import { describe, expect, test } from 'vitest';
import { leastTravel, missOf, type Way, waysTo } from '../../../node/plan/aim/ways.ts';
import type { Adjustments } from '../../../node/rig/adjustments.ts';
import { type Head, headOf } from '../../../node/rig/head.ts';
import { library } from '../../../node/rig/library.ts';
import type { Pose } from '../../../node/rig/pose.ts';
import { layOut } from '../../../node/rig/rig.ts';
import { ownAngle, RAY, shine } from '../../../node/rig/turning.ts';

const upright: Pose = { x: 0, y: 0, z: 4, put: 'hung', facing: 0, forward: 0, aside: 0 };

function head(pose: Partial<Pose> = {}, adjust: Adjustments = {}, type = 'spot-head', change = (of: Head): Head => of): Head {
  const found = library.get(type);
  const [mode] = found?.modes ?? [];
  if (found === undefined || mode === undefined) throw new Error('no such type');
  const rig = layOut([
    { id: 'one', type: found, mode, use: 'spot', universe: 1, address: 1, adjust, pose: { ...upright, ...pose } },
  ]);
  const [fixture] = rig.fixtures;
  const [lamp] = fixture?.lamps ?? [];
  const of = fixture && lamp && headOf(fixture, lamp);
  if (of === undefined) throw new Error('no head');
  return change(of);
}

/** A head whose axes and lens are all in its base, as textbooks draw it. */
const inOnePoint = (of: Head): Head => {
  const law = of.law.slice();
  const [x, y, z] = [upright.x, upright.y, upright.z];
  for (const at of [3, 9, 15]) law.set([x, y, z], at);
  return { ...of, law };
};

function ray(of: Head, { outer, inner }: Pick<Way, 'outer' | 'inner'>): Float64Array {
  const out = new Float64Array(RAY);
  shine(of, ownAngle(of.outer, outer), ownAngle(of.inner, inner), out);
  return out;
}

/** Where light crosses a level. */
function onLevel(of: Head, way: Way, level: number): [x: number, y: number] {
  const [x, y, z, dx, dy, dz] = ray(of, way) as unknown as [number, number, number, number, number, number];
  const s = (level - z) / dz;
  return [x + s * dx, y + s * dy];
}

describe('Geometry of a hung head, worked out by hand: d = (sin t cos p, sin t sin p, -cos t)', () => {
  const hung = head({}, {}, 'spot-head', inOnePoint);

  test.each([
    // From (0, 0, 4): p = atan2(dy, dx), t = acos(-dz).
    [{ x: 3, y: 3, z: 1.2 }, 45, 56.5765],
    [{ x: 3, y: 0, z: 0 }, 0, 36.8699],
    [{ x: 1, y: 1, z: 4 - Math.SQRT2 }, 45, 45],
  ])('%o is seen by pan %f and tilt %f', (point, pan, tilt) => {
    const way = waysTo(hung, point).ways.find(({ number, inner }) => number === 0 && inner >= 0) as Way;
    expect(way.outer).toBeCloseTo(pan, 4);
    expect(way.inner).toBeCloseTo(tilt, 4);
  });

  test('a head of 540 degrees of pan has three ways to pan 45: itself, and two by the flip', () => {
    const { ways } = waysTo(hung, { x: 3, y: 3, z: 1.2 });
    const angles = ways.map(({ outer, inner }) => [outer, inner].map((one) => Number(one.toFixed(4))));
    expect(angles.toSorted(([a = 0], [b = 0]) => a - b)).toEqual([
      [-135, -56.5765],
      [45, 56.5765],
      [225, -56.5765],
    ]);
  });
});

test('standing, a head is hung and given half a turn about the axis to its front: pan runs the other way seen from above', () => {
  const standing = head({ z: 0, put: 'standing', facing: 0 });
  // At pan 0 the light that tilt leads away goes to the front, along x; a turn of pan by 90 takes it to -y, where it took it to +y hung.
  expect([...ray(standing, { outer: 0, inner: 90 })].slice(3).map((one) => Math.round(one * 1e9) / 1e9 + 0)).toEqual([1, 0, 0]);
  expect([...ray(standing, { outer: 90, inner: 90 })].slice(3).map((one) => Math.round(one * 1e9) / 1e9 + 0)).toEqual([0, -1, 0]);
  const hung = head({ facing: 0 });
  expect([...ray(hung, { outer: 90, inner: 90 })].slice(3).map((one) => Math.round(one * 1e9) / 1e9 + 0)).toEqual([0, 1, 0]);
});

test('sideways, light at rest goes to where the head faces', () => {
  const aside = head({ put: 'sideways', facing: 90 });
  expect([...ray(aside, { outer: 0, inner: 0 })].slice(3).map((one) => Math.round(one * 1e9) / 1e9 + 0)).toEqual([0, 1, 0]);
});

const anyPose = fc.record({
  x: fc.double({ min: -10, max: 10, noNaN: true }),
  y: fc.double({ min: -10, max: 10, noNaN: true }),
  z: fc.double({ min: 0, max: 6, noNaN: true }),
  put: fc.constantFrom('hung', 'standing', 'sideways'),
  facing: fc.double({ min: -180, max: 180, noNaN: true }),
  forward: fc.double({ min: -20, max: 20, noNaN: true }),
  aside: fc.double({ min: -20, max: 20, noNaN: true }),
}) as fc.Arbitrary<Pose>;
const anyPoint = fc.record({
  x: fc.double({ min: -12, max: 12, noNaN: true }),
  y: fc.double({ min: -12, max: 12, noNaN: true }),
  z: fc.double({ min: 0, max: 5, noNaN: true }),
});
const anyAdjust = fc.record({
  invert: fc.record({ pan: fc.boolean(), tilt: fc.boolean() }),
  swapPanTilt: fc.boolean(),
}) as fc.Arbitrary<Adjustments>;

/** The same by matrices of a library: a base in the room, a pan about z on it, a tilt about x on that, light down. */
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

test('any head in any pose shines where the matrices of a library say', () => {
  fc.assert(
    fc.property(
      anyPose,
      fc.double({ min: -270, max: 270, noNaN: true }),
      fc.double({ min: -135, max: 135, noNaN: true }),
      (pose, pan, tilt) => {
        const { from, to } = byMatrices(pose, pan, tilt);
        const out = ray(head(pose), { outer: pan, inner: tilt });
        for (const [k, value] of [...from, ...to].entries()) expect(out[k]).toBeCloseTo(value as number, 5);
      },
    ),
  );
});

test('what is in reach is hit within a tenth of a degree by every way, whatever is inverted or swapped', () => {
  fc.assert(
    fc.property(anyPose, anyPoint, anyAdjust, (pose, point, adjust) => {
      const of = head(pose, adjust);
      fc.pre(Math.hypot(point.x - pose.x, point.y - pose.y, point.z - pose.z) > 1);
      const { ways, off } = waysTo(of, point);
      if (off === 0) for (const way of ways) expect(missOf(of, way, point.x, point.y, point.z)).toBeLessThan(0.1);
      // Every degree of both axes looked at: nothing that is in reach is said to be out of it, and the nearest is the nearest.
      else {
        let least = Number.POSITIVE_INFINITY;
        for (let outer = of.outer.least; outer <= of.outer.most; outer += 3)
          for (let inner = of.inner.least; inner <= of.inner.most; inner += 3)
            least = Math.min(
              least,
              missOf(
                of,
                { outer: of.outer.offset + of.outer.factor * outer, inner: of.inner.offset + of.inner.factor * inner },
                point.x,
                point.y,
                point.z,
              ),
            );
        expect(off).toBeLessThan(least + 0.5);
      }
    }),
    { numRuns: 60 },
  );
});

test('every way of a head to a point is found: looked for over all whole degrees', () => {
  const of = head({ facing: 37, forward: 4 });
  const point = { x: 2.5, y: -1.5, z: 0.4 };
  const { ways } = waysTo(of, point);
  const found = new Set<string>();
  for (let outer = of.outer.least; outer <= of.outer.most; outer++)
    for (let inner = of.inner.least; inner <= of.inner.most; inner++)
      if (missOf(of, { outer, inner }, point.x, point.y, point.z) < 0.75) {
        const near = ways.findIndex((way) => Math.abs(way.outer - outer) < 3 && Math.abs(way.inner - inner) < 3);
        expect(near, `pan ${outer}, tilt ${inner}`).toBeGreaterThanOrEqual(0);
        found.add(String(near));
      }
  expect(found.size).toBe(ways.length);
});

test('least travel is the soonest of all ways: both axes turn at once, each at its speed', () => {
  fc.assert(
    fc.property(
      anyPoint,
      fc.double({ min: -270, max: 270, noNaN: true }),
      fc.double({ min: -135, max: 135, noNaN: true }),
      (point, pan, tilt) => {
        const of = head();
        fc.pre(Math.hypot(point.x, point.y, point.z - 4) > 1);
        const { ways } = waysTo(of, point);
        const soonest = Math.min(
          ...ways.map(({ outer, inner }) =>
            Math.max(Math.abs(outer - pan) / of.outer.speed, Math.abs(inner - tilt) / of.inner.speed),
          ),
        );
        const way = leastTravel(of, ways, { outer: pan, inner: tilt });
        expect(Math.max(Math.abs(way.outer - pan) / of.outer.speed, Math.abs(way.inner - tilt) / of.inner.speed)).toBeCloseTo(
          soonest,
          9,
        );
      },
    ),
  );
});

test('limits of the patch put ways out of reach, and what none reaches is come as near to as they permit', () => {
  const narrow = head({}, { limits: { pan: [-90, 90], tilt: [-30, 30] } });
  const { ways, off } = waysTo(narrow, { x: 8, y: 0, z: 3.5 });
  const [way] = ways;
  expect(off).toBeGreaterThan(30);
  expect(way.inner).toBeCloseTo(30, 6);
  const [x, y] = onLevel(narrow, way, 0);
  expect(x).toBeGreaterThan(1);
  expect(Math.abs(y)).toBeLessThan(0.01);
});

test('a mirror looks where its two axes turn it to', () => {
  const mirror = head({}, {}, 'scanner');
  const { ways, off } = waysTo(mirror, { x: 1, y: 0.5, z: 0 });
  expect(off).toBe(0);
  expect(missOf(mirror, ways[0], 1, 0.5, 0)).toBeLessThan(0.01);
});
