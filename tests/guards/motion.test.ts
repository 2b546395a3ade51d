import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Instant } from '../../node/guards/guard.ts';
import { approach, found } from '../../node/guards/motion/approach.ts';
import { homing } from '../../node/guards/motion/homing.ts';
import { type MotionMemory, motion } from '../../node/guards/motion/motion.ts';
import { compileShow } from '../../node/playback/compile.ts';
import { axesOf } from '../../node/rig/head.ts';
import { ordinary } from '../helpers/ordinary.ts';
import { head, par, tinyShow } from '../helpers/tiny-show.ts';

const { show, rig } = compileShow(tinyShow({ fixtures: [par('par', 1), head('head', 20)] }));
const fixture = rig.byId.get('head');
const lamp = fixture?.lamps[0];
if (fixture === undefined || lamp === undefined) throw new Error('no head');
const pan = lamp.cells.get('Pan') ?? Number.NaN;
const dimmer = lamp.cells.get('Dimmer') ?? Number.NaN;
/** What its type declares, degrees a second and more of them with each second. */
const { speed: FASTEST, acceleration: SHARPEST } = axesOf(fixture, lamp)?.pan ?? { speed: 0, acceleration: 0 };
const FRAME = 25;

interface Step {
  readonly at: number;
  readonly asked: number;
  readonly angle: number;
  /** Of its memory: degrees a second. */
  readonly speed: number;
}

/** Where a head is sent, frame by frame. */
function turns(
  asked: (now: number) => number,
  until: number,
  {
    instant = () => ({}),
    apart = () => FRAME,
    reloads = () => false,
  }: {
    instant?: (now: number) => Partial<Instant>;
    apart?: (i: number) => number;
    reloads?: (i: number) => boolean;
  } = {},
): Step[] {
  let guard = motion(show, rig);
  let memory: MotionMemory = guard.memory();
  const steps: Step[] = [];
  for (let [i, now] = [0, 0]; now < until; now += apart(i++)) {
    if (reloads(i)) {
      guard = motion(show, rig);
      memory = guard.memory(structuredClone(memory));
    }
    const frame = Float64Array.from(rig.rest);
    frame[pan] = asked(now);
    guard.step(frame, { ...ordinary, now, ...instant(now) }, memory);
    steps.push({ at: now, asked: asked(now), angle: frame[pan] as number, speed: memory.speeds[0] as number });
  }
  return steps;
}

/** Between two frames, degrees a second. */
const speeds = (steps: readonly Step[]) =>
  steps.slice(1).map(({ at, angle }, i) => {
    const before = steps[i] as Step;
    return at === before.at ? 0 : ((angle - before.angle) * 1000) / (at - before.at);
  });

/** From rest to rest over an angle: uniformly accelerated, uniform and uniformly slowed motion (any textbook of mechanics). Seconds. */
const shortest = (angle: number): number =>
  angle < FASTEST ** 2 / SHARPEST ? 2 * Math.sqrt(angle / SHARPEST) : angle / FASTEST + FASTEST / SHARPEST;

describe('the way of an axis to rest', () => {
  const any = fc.record({
    distance: fc.double({ min: -400, max: 400, noNaN: true }),
    speed: fc.double({ min: -250, max: 250, noNaN: true }),
    most: fc.double({ min: 10, max: 200, noNaN: true }),
    acceleration: fc.double({ min: 50, max: 900, noNaN: true }),
    seconds: fc.double({ min: 0, max: 3, noNaN: true }),
  });

  /** In steps of a fifth of a millisecond: as much towards it as it may, as long as it can still stop. */
  function simulated({
    distance,
    speed,
    most,
    acceleration,
    seconds,
  }: { [Key in 'distance' | 'speed' | 'most' | 'acceleration' | 'seconds']: number }) {
    const tick = 0.0002;
    let [at, turn] = [0, speed];
    for (let time = 0; time < seconds; time += tick) {
      const stands = at + (turn * Math.abs(turn)) / (2 * acceleration);
      const wanted = Math.sign(distance - stands) * most;
      const change = acceleration * tick;
      turn += Math.max(-change, Math.min(change, wanted - turn));
      at += turn * tick;
    }
    return { at, turn };
  }

  it('is that of a simulation in small steps', () => {
    fc.assert(
      fc.property(any, (one) => {
        approach(one.distance, one.speed, -one.most, one.most, one.acceleration, one.seconds);
        const { moved, speed } = found;
        const { at, turn } = simulated(one);
        expect(Math.abs(moved - at)).toBeLessThan(0.3);
        expect(Math.abs(speed - turn)).toBeLessThan(1);
      }),
      { numRuns: 300 },
    );
  });

  it('is the same in many steps as in one', () => {
    fc.assert(
      fc.property(any, fc.integer({ min: 2, max: 40 }), (one, parts) => {
        approach(one.distance, one.speed, -one.most, one.most, one.acceleration, one.seconds);
        const whole = { ...found };
        let [moved, speed] = [0, one.speed];
        for (let i = 0; i < parts; i++) {
          approach(one.distance - moved, speed, -one.most, one.most, one.acceleration, one.seconds / parts);
          moved += found.moved;
          speed = found.speed;
        }
        expect(moved).toBeCloseTo(whole.moved, 3);
      }),
    );
  });
});

describe('a head', () => {
  it('that is asked to jump goes there as fast as its type can, stops in time and does not overshoot', () => {
    fc.assert(
      fc.property(fc.double({ min: 1, max: 400, noNaN: true }), fc.boolean(), (far, back) => {
        const to = back ? -far : far;
        const steps = turns((now) => (now < 100 ? 0 : to), 8000);
        const there = steps.find(({ angle }) => angle === to)?.at ?? Number.POSITIVE_INFINITY;
        expect((there - 75) / 1000).toBeGreaterThan(shortest(far) - FRAME / 1000);
        expect((there - 75) / 1000).toBeLessThan(shortest(far) + 3 * (FRAME / 1000));
        for (const { at, angle } of steps) {
          expect(Math.abs(angle)).toBeLessThanOrEqual(far);
          if (at >= there) expect(angle).toBe(to);
        }
      }),
      { numRuns: 60 },
    );
  });

  it('that is asked for no more than it can is where it is asked to be, to the bit', () => {
    // 60 degrees at an eighth of a turn a second: 47 degrees a second, 37 more with each.
    const steps = turns((now) => 60 - 60 * Math.cos(((now / 1000) * Math.PI) / 4), 20_000);
    for (const { asked, angle } of steps) expect(angle).toBe(asked);
  });

  it('catches up with a figure that it had to jump to, and is in step with it from then on', () => {
    const figure = (now: number) => (now < 1000 ? -100 : 40 + 30 * Math.sin(((now / 1000) * Math.PI) / 4));
    const steps = turns(figure, 10_000);
    for (const { at, asked, angle } of steps) if (at > 4000) expect(angle).toBe(asked);
  });

  it('is never sent faster, nor brought to speed or to rest sooner, in whatever order frames and loads come', () => {
    const any = fc.record({
      asks: fc.array(fc.double({ min: -270, max: 270, noNaN: true }), { minLength: 1, maxLength: 12 }),
      each: fc.integer({ min: 10, max: 900 }),
      apart: fc.array(fc.integer({ min: 0, max: 60 }), { minLength: 1, maxLength: 9 }),
      left: fc.boolean(),
      crew: fc.boolean(),
      reload: fc.integer({ min: 2, max: 60 }),
    });
    fc.assert(
      fc.property(any, ({ asks, each, apart, left, crew, reload }) => {
        const steps = turns((now) => asks[Math.floor(now / each) % asks.length] ?? 0, 6000, {
          instant: (now) => ({ left: left && now % 3000 > 1500, crew: crew && now % 2000 > 1300 }),
          apart: (i) => Math.max(i % 40 === 0 ? 1 : 0, apart[i % apart.length] ?? FRAME),
          reloads: (i) => i % reload === reload - 1,
        });
        for (const speed of speeds(steps)) expect(Math.abs(speed)).toBeLessThanOrEqual(FASTEST + 1e-6);
        for (let i = 1; i < steps.length; i++) {
          const [before, now] = [steps[i - 1] as Step, steps[i] as Step];
          expect(Math.abs(now.speed - before.speed)).toBeLessThanOrEqual((SHARPEST * (now.at - before.at)) / 1000 + 1e-6);
        }
      }),
      { numRuns: 150 },
    );
  });

  it('turns by 20 degrees a second at most while it is left to the node, and goes on turning', () => {
    const steps = turns((now) => 50 * Math.sin((now / 1000) * Math.PI), 6000, {
      instant: (now) => ({ left: now >= 1000 && now < 4000 }),
    });
    const slow = steps.filter(({ at }) => at > 1500 && at < 4000);
    for (const speed of speeds(slow)) expect(Math.abs(speed)).toBeLessThanOrEqual(20 + 1e-9);
    expect(new Set(slow.map(({ angle }) => angle)).size).toBeGreaterThan(10);
  });

  it('comes to stand while the crew works, and stays there until they have done, whatever is asked of it', () => {
    const steps = turns((now) => (now < 2000 ? (now < 100 ? 0 : 200) : -200), 6000, {
      instant: (now) => ({ crew: now >= 500 && now < 4000 }),
    });
    const stood = steps.filter(({ at }) => at >= 1000 && at < 4000).map(({ angle }) => angle);
    expect(new Set(stood).size).toBe(1);
    // Slowing down from its speed takes v²/2a.
    const began = steps.find(({ at }) => at === 475);
    expect(Math.abs((stood[0] ?? 0) - (began?.angle ?? 0))).toBeCloseTo((began?.speed ?? 0) ** 2 / (2 * SHARPEST), 6);
    expect(steps.at(-1)?.angle).toBeLessThan(stood[0] ?? 0);
  });

  it('stays there over a restart while the crew works, and is where it is asked to be after one without them', () => {
    const first = motion(show, rig);
    const memory = first.memory();
    const sent = (of: typeof first, own: typeof memory, now: number, angle: number, crew: boolean): number => {
      const frame = Float64Array.from(rig.rest);
      frame[pan] = angle;
      of.step(frame, { ...ordinary, now, crew }, own);
      return frame[pan] as number;
    };
    for (let now = 0; now < 1000; now += 25) sent(first, memory, now, 33, false);
    expect(first.kept?.(memory)).toEqual({});
    for (let now = 1000; now < 3000; now += 25) sent(first, memory, now, 200, true);
    const kept = JSON.parse(JSON.stringify(first.kept?.(memory)));
    const again = (crew: boolean): number[] => {
      const guard = motion(show, rig);
      const own = guard.memory();
      guard.recall?.(own, kept);
      return [0, 25, 1000].map((now) => sent(guard, own, now, -150, crew));
    };
    expect(again(true)).toEqual([33, 33, 33]);
    expect(again(false)).toEqual([-150, -150, -150]);
  });

  it('keeps what is known of it over a change of the show, by where it is patched', () => {
    const memory = motion(show, rig).memory();
    const frame = Float64Array.from(rig.rest);
    frame[pan] = 33;
    motion(show, rig).step(frame, ordinary, memory);
    const other = compileShow(tinyShow({ fixtures: [head('called-otherwise', 20), head('new', 60)] }));
    const guard = motion(other.show, other.rig);
    expect([...guard.memory(memory).angles].map((angle) => (Number.isNaN(angle) ? 'unknown' : angle))).toEqual([
      33,
      frame[lamp.cells.get('Tilt') ?? 0],
      'unknown',
      'unknown',
    ]);
  });
});

describe('at a fresh start', () => {
  it('a head stays dark until it is where it belongs, and then its light comes softly; one that is known goes on', () => {
    const guard = homing(show, rig);
    const memory = guard.memory();
    const seen = (now: number, at: Partial<Instant>, of = memory) => {
      const frame = Float64Array.from(rig.rest).fill(1, dimmer, dimmer + 1);
      guard.step(frame, { ...ordinary, now, ...at }, of);
      return frame[dimmer];
    };
    expect([0, 25, 3975].map((now) => seen(now, { homing: true }))).toEqual([0, 0, 0]);
    expect([...(guard.held?.(memory) ?? [])]).toEqual([1]);
    expect(seen(4475, {})).toBeCloseTo(0.5, 9);
    expect(seen(5000, {})).toBe(1);
    expect(seen(5025, { homing: true })).toBe(1);
    expect(seen(0, {}, guard.memory())).toBe(1);
  });
});
