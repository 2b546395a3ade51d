import { describe, expect, it } from 'vitest';
import { compileShow } from '../../node/playback/compile.ts';
import { headOf } from '../../node/rig/head.ts';
import type { Pose } from '../../node/rig/pose.ts';
import { ownAngle, RAY, shine } from '../../node/rig/turning.ts';
import type { Aim } from '../../node/show/document.ts';
import { Offline, press, release, type Script } from '../helpers/offline.ts';
import { everybody, head, tinyShow } from '../helpers/tiny-show.ts';

const hung = (x: number, y: number): Pose => ({ x, y, z: 4, put: 'hung', facing: 0, forward: 0, aside: 0 });
const standing: Pose = { x: 0, y: 5, z: 0, put: 'standing', facing: -90, forward: 0, aside: 0 };

const landmarks = [
  { id: 'cake', name: 'Cake', x: 2, y: 1, z: 1.1 },
  { id: 'floor', name: 'Dance floor', x: 3, y: 0, z: 0, area: { width: 4, depth: 2, turned: 0 } },
];
const look = (id: string, aim: Aim, fade = 0) => ({ id, fade, parts: [{ who: everybody, level: 1, aim }] });

const show = tinyShow({
  fixtures: [
    { ...head('a', 1), pose: hung(0, -1) },
    { ...head('b', 13), pose: hung(0, 1) },
    { ...head('c', 25), pose: standing },
    { ...head('loose', 37) },
  ],
  landmarks,
  fallback: { look: 'cake' },
  looks: [
    look('cake', { landmark: 'cake', angles: { pan: 10, tilt: 20 } }),
    look('cake-slowly', { landmark: 'cake' }, 4),
    look('row', { landmark: 'floor', deal: 'row' }),
    look('far-side', { point: { x: -3, y: 0.5, z: 0 } }),
    look('behind', { pan: -170, tilt: -40 }),
  ],
  movements: [
    {
      id: 'ring',
      figure: 'circle',
      who: everybody,
      size: { width: 1, depth: 1 },
      period: { seconds: 10 },
      fade: 0,
      aim: { landmark: 'floor' },
    },
    { id: 'around', figure: 'circle', who: everybody, size: { width: 0.5, depth: 0.5 }, period: { seconds: 10 }, fade: 0 },
    {
      id: 'too-fast',
      figure: 'circle',
      who: everybody,
      size: { pan: 90, tilt: 30 },
      period: { seconds: 0.5 },
      fade: 0,
      aim: { pan: 0, tilt: 40 },
    },
  ],
});
const compiled = compileShow(show);
const play = (...script: Script): Offline => new Offline(show, script);

/** Where the light of a head goes at an instant: from there and along there. */
function rayOf(night: Offline, id: string, at: number): Float64Array {
  const fixture = compiled.rig.byId.get(id);
  const of = fixture && headOf(fixture, fixture.lamps[0]);
  if (of === undefined) throw new Error(`no head ${id}`);
  const ray = new Float64Array(RAY);
  // This head calls its outer axis pan.
  shine(of, ownAngle(of.outer, night.value(id, 'Pan', at)), ownAngle(of.inner, night.value(id, 'Tilt', at)), ray);
  return ray;
}

/** Metres by which a beam passes a point. */
function passes(ray: Float64Array, { x, y, z }: { readonly x: number; readonly y: number; readonly z: number }): number {
  const [ox, oy, oz, dx, dy, dz] = ray as unknown as [number, number, number, number, number, number];
  const [tx, ty, tz] = [x - ox, y - oy, z - oz];
  const along = tx * dx + ty * dy + tz * dz;
  return along <= 0 ? Number.POSITIVE_INFINITY : Math.hypot(tx - along * dx, ty - along * dy, tz - along * dz);
}

/** Where a beam meets a level. */
function onLevel(ray: Float64Array, level: number): { readonly x: number; readonly y: number } {
  const [ox, oy, oz, dx, dy, dz] = ray as unknown as [number, number, number, number, number, number];
  return { x: ox + ((level - oz) / dz) * dx, y: oy + ((level - oz) / dz) * dy };
}

describe('a look that is aimed at a landmark', () => {
  it('brings every head that has a place there, hung or standing', () => {
    const night = play([0, press('cake')]);
    for (const id of ['a', 'b', 'c']) expect(passes(rayOf(night, id, 100), { x: 2, y: 1, z: 1.1 })).toBeLessThan(0.001);
  });

  it('leaves a head without a place to its angles, or where it is, and says so', () => {
    const night = play([0, press('cake')]);
    expect([night.value('loose', 'Pan', 100), night.value('loose', 'Tilt', 100)]).toEqual([10, 20]);
    const slowly = play([0, press('cake-slowly')]);
    expect([slowly.value('loose', 'Pan', 9000), slowly.value('loose', 'Tilt', 9000)]).toEqual([0, 0]);
    expect(compiled.items.get('look:cake')?.notes).toEqual(['loose: has no place in the room; it looks by its angles']);
    expect(compiled.items.get('look:cake-slowly')?.notes).toEqual([
      'loose: has no place in the room, so it cannot look at Cake; it stays where it is',
    ]);
  });

  it('deals heads out over its area in equal parts', () => {
    const night = play([0, press('row')]);
    const at = ['a', 'b', 'c'].map((id) => onLevel(rayOf(night, id, 100), 0));
    expect(at.map(({ x }) => Number(x.toFixed(4)))).toEqual([3 - 4 / 3, 3, 3 + 4 / 3].map((x) => Number(x.toFixed(4))));
    for (const { y } of at) expect(y).toBeCloseTo(0, 6);
  });

  it('takes the way of least travel from where a head stands, and keeps it over a restart', () => {
    const [front, back] = [play([0, press('cake')]), play([0, press('behind')], [1000, press('cake')])];
    const [pan, panBehind] = [front.value('a', 'Pan', 100), back.value('a', 'Pan', 3000)];
    // Two ways to the same point: from behind it comes by the flip.
    expect(Math.abs(pan)).toBeLessThan(90);
    expect(Math.abs(panBehind)).toBeGreaterThan(90);
    expect(passes(rayOf(back, 'a', 3000), { x: 2, y: 1, z: 1.1 })).toBeLessThan(0.001);
    const state = JSON.parse(JSON.stringify(back.state(3000)));
    expect([...back.slots(3000, 1, state).subarray(0, 4)]).toEqual([...back.slots(3000).subarray(0, 4)]);
  });

  it.each([
    ['tries on the lights', { do: 'try', item: 'look:cake' }],
    ['is the look of the fallback', { do: 'fall-back' }],
  ] as const)('takes that way also where it %s', (_, command) => {
    const night = play([0, press('behind')], [60_000, command]);
    expect(Math.abs(night.value('a', 'Pan', 65_000))).toBeGreaterThan(90);
    expect(passes(rayOf(night, 'a', 65_000), { x: 2, y: 1, z: 1.1 })).toBeLessThan(0.001);
  });

  it('fades the short way: pan never turns further than from where it was to where it goes', () => {
    const night = play([0, press('far-side')], [1000, press('cake-slowly')]);
    const [from, to] = [night.value('a', 'Pan', 999), night.value('a', 'Pan', 6000)];
    for (let at = 1000; at <= 5000; at += 25) {
      const pan = night.value('a', 'Pan', at);
      expect(pan).toBeGreaterThanOrEqual(Math.min(from, to) - 1e-9);
      expect(pan).toBeLessThanOrEqual(Math.max(from, to) + 1e-9);
    }
    expect(Math.abs(to - from)).toBeLessThanOrEqual(180);
  });
});

describe('a figure in the room', () => {
  it('is a circle on the floor, whatever pan and tilt do for it', () => {
    const night = play([0, press('ring')]);
    for (const id of ['a', 'b', 'c'])
      for (let at = 0; at <= 10_000; at += 250) {
        const { x, y } = onLevel(rayOf(night, id, at), 0);
        expect(Math.hypot(x - 3, y)).toBeCloseTo(1, 4);
      }
  });

  it('goes around whatever heads are aimed at below', () => {
    const night = play([0, press('row')], [100, press('around')]);
    for (const [i, id] of ['a', 'b', 'c'].entries())
      for (let at = 200; at <= 10_000; at += 490) {
        const { x, y } = onLevel(rayOf(night, id, at), 0);
        expect(Math.hypot(x - (3 + ((i - 1) * 4) / 3), y)).toBeCloseTo(0.5, 4);
      }
  });

  it('does not jump: from frame to frame no head turns faster than in a smooth circle', () => {
    const night = play([0, press('ring')]);
    for (const id of ['a', 'b', 'c'])
      for (let at = 25; at <= 20_000; at += 25) {
        const pan = night.value(id, 'Pan', at) - night.value(id, 'Pan', at - 25);
        expect(Math.abs(pan), `${id} at ${at}`).toBeLessThan(2);
      }
  });

  it('asks no head for more speed than its type declares: it takes longer, and says so', () => {
    const item = compiled.items.get('movement:too-fast');
    expect(item?.notes).toContain('its heads cannot turn as fast as it asks; it takes longer');
    const night = play([0, press('too-fast')]);
    const fixture = compiled.rig.byId.get('a');
    const speed = (fixture && headOf(fixture, fixture.lamps[0]))?.outer.speed ?? 0;
    for (let at = 25; at <= 4000; at += 25) {
      const pan = Math.abs(night.value('a', 'Pan', at) - night.value('a', 'Pan', at - 25)) / 0.025;
      expect(pan).toBeLessThanOrEqual(speed * 1.001);
    }
  });
});

describe('a movement that comes and goes', () => {
  it('sets heads in motion softly: no speed out of nothing', () => {
    const soft = tinyShow({
      fixtures: [head('a', 1)],
      movements: [
        {
          id: 'sweep',
          figure: 'eight',
          who: everybody,
          size: { pan: 20, tilt: 0 },
          period: { seconds: 8 },
          fade: 2,
          aim: { pan: 60, tilt: 0 },
        },
      ],
    });
    const night = new Offline(soft, [
      [0, press('sweep')],
      [6000, press('sweep')],
      [6000, release('sweep')],
    ]);
    const angles = Array.from({ length: 400 }, (_, i) => night.value('a', 'Pan', i * 25));
    const speeds = angles.slice(1).map((pan, i) => (pan - (angles[i] as number)) / 0.025);
    const accelerations = speeds.slice(1).map((one, i) => Math.abs(one - (speeds[i] as number)) / 0.025);
    // 60 degrees by t * t * (3 - 2 t) in two seconds are 90 degrees a second each second at their ends, and the figure's own 12 at most besides it.
    expect(Math.max(...accelerations)).toBeLessThan(130);
  });
});
