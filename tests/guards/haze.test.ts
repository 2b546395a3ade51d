import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type AirMemory, duty } from '../../node/guards/duty.ts';
import { haze } from '../../node/guards/haze.ts';
import { compileShow } from '../../node/playback/compile.ts';
import { readState, stateText } from '../../node/playback/journalled.ts';
import { freshState, reduce, revive } from '../../node/playback/reduce.ts';
import { isHazeAllowed } from '../../node/playback/state.ts';
import { Offline, hazePermitted as permitted, press, type Script } from '../helpers/offline.ts';
import { ordinary } from '../helpers/ordinary.ts';
import { dimmer, everybody, par, place, tinyShow } from '../helpers/tiny-show.ts';

/** Slots: a hazer at 1, a fog machine at 10, a machine on a dimmer at 20, a lamp at 30. */
const show = tinyShow({
  fixtures: [
    { ...place('hazer', 'hazer', '1ch', 1), use: 'haze' },
    { ...place('fogger', 'fog-machine', '1ch', 10), use: 'haze' },
    { ...dimmer('switched', 20), use: 'haze' },
    par('lamp', 30),
  ],
  looks: [{ id: 'thick', fade: 0, parts: [{ who: everybody, level: 1, haze: 1 }] }],
});
const compiled = compileShow(show);
const cellOf = (id: string, name: 'Haze1' | 'Fog1' | 'Dimmer') => compiled.rig.byId.get(id)?.lamps[0].cells.get(name) ?? -1;
const airs = [cellOf('hazer', 'Haze1'), cellOf('fogger', 'Fog1'), cellOf('switched', 'Dimmer')];
const AN_HOUR = 3_600_000;

describe('haze', () => {
  const slots = (...script: Script) => [1, 10, 20, 30].map((slot) => new Offline(show, script).slot(slot, 2000));

  it('is held until somebody has said for this night that the venue permits it, whoever asks for it', () => {
    expect(slots([0, press('thick')])).toEqual([0, 0, 0, 255]);
    expect(slots([0, press('thick')], [500, permitted])).toEqual([255, 255, 255, 255]);
    expect(slots([0, permitted], [0, press('thick')], [1000, { do: 'allow-haze', on: false }])).toEqual([0, 0, 0, 255]);
  });

  it('stops while what plays is left to the node, after the fallback and in a blackout', () => {
    expect(slots([0, permitted], [0, press('thick')], [1000, { do: 'leave', minutes: 30 }]).slice(0, 3)).toEqual([0, 0, 0]);
    expect(slots([0, permitted], [0, press('thick')], [1000, { do: 'fall-back' }]).slice(0, 3)).toEqual([0, 0, 0]);
    expect(slots([0, permitted], [0, press('thick')], [1000, { do: 'blackout', on: true }])).toEqual([0, 0, 0, 0]);
  });

  it('is permitted for one night, which outlives a restart', () => {
    const state = reduce(compiled, freshState(compiled, 0), permitted, 0, 1);
    const saved = { show: show.id, state: readState(JSON.parse(stateText(state))) ?? state, at: 0, wall: 0 };
    const after = revive(compiled, saved, 500, 2 * AN_HOUR);
    expect([0, 17 * AN_HOUR, 18 * AN_HOUR].map((now) => isHazeAllowed(state, now))).toEqual([true, true, false]);
    expect([15.9, 16].map((hours) => isHazeAllowed(after, 500 + hours * AN_HOUR))).toEqual([true, false]);
  });

  it('is told with its machines while it is held, and not where nothing asks for it', () => {
    const guard = haze(show, compiled.rig);
    const frame = Float64Array.from(compiled.rig.rest);
    expect(guard.step(frame, { ...ordinary, haze: false }, undefined)).toBe(false);
    frame[airs[1] as number] = 0.5;
    expect(guard.step(frame, { ...ordinary, haze: false }, undefined)).toBe(true);
    expect([...(guard.held?.(undefined) ?? [])]).toEqual([1]);
  });
});

/** What a machine gives out of every frame, asked by `ask`, frames `apart`; the guard begins anew where `begins` says so. */
function night(
  ask: (i: number) => number,
  frames: number,
  apart: (i: number) => number,
  begins: (i: number) => 'load' | 'restart' | undefined = () => undefined,
) {
  let guard = duty(show, compiled.rig);
  let memory: AirMemory = guard.memory();
  const given: { at: number; values: number[] }[] = [];
  let now = 0;
  for (let i = 0; i < frames; i++) {
    const anew = begins(i);
    if (anew !== undefined) {
      guard = duty(show, compiled.rig);
      memory = anew === 'load' ? guard.memory(structuredClone(memory)) : guard.memory();
    }
    const frame = Float64Array.from(compiled.rig.rest);
    for (const cell of airs) frame[cell] = ask(i);
    guard.step(frame, { ...ordinary, now }, memory);
    given.push({ at: now, values: airs.map((cell) => frame[cell] as number) });
    now += apart(i);
  }
  return given;
}

/** Seconds at full that a machine has given in the ten minutes before each frame: the most. Exhaustive. */
function mostIn(given: ReturnType<typeof night>, machine: number, window = 600_000): number {
  let [sum, from, most] = [0, 0, 0];
  const part = (i: number) =>
    ((given[i]?.values[machine] ?? 0) * ((given[i + 1]?.at ?? given[i]?.at ?? 0) - (given[i]?.at ?? 0))) / 1000;
  for (let i = 0; i + 1 < given.length; i++) {
    sum += part(i);
    while ((given[from]?.at ?? 0) < (given[i + 1]?.at ?? 0) - window) sum -= part(from++);
    most = Math.max(most, sum);
  }
  return most;
}

describe('how much goes into the air', () => {
  it('of haze is half of ten minutes, to which it sinks softly; it never stops', () => {
    const given = night(
      () => 1,
      20_000,
      () => 100,
    );
    expect(mostIn(given, 0)).toBeLessThanOrEqual(300 + 1e-6);
    expect(mostIn(given, 0)).toBeGreaterThan(290);
    const steps = given.slice(1).map(({ values }, i) => (given[i]?.values[0] ?? 0) - (values[0] ?? 0));
    expect(Math.max(...steps)).toBeLessThan(0.02);
  });

  it('of fog is a minute in ten, in bursts of ten seconds with pauses of twenty', () => {
    const given = night(
      () => 1,
      12_000,
      () => 100,
    );
    expect(mostIn(given, 1)).toBeLessThanOrEqual(60 + 1e-6);
    expect(mostIn(given, 1)).toBeGreaterThan(50);
    const runs =
      given
        .map(({ values }) => ((values[1] ?? 0) > 0 ? '#' : '.'))
        .join('')
        .match(/#+|\.+/g) ?? [];
    // After a start half of a burst is thought to be used.
    expect(runs[0]?.length).toBe(50);
    for (const [i, { length }] of runs.slice(0, -1).entries()) {
      if (runs[i]?.startsWith('#')) expect(length).toBeLessThanOrEqual(100);
      else if (runs[i - 1]?.length === 100) expect(length).toBeGreaterThanOrEqual(200);
    }
    expect(runs.filter((run) => run.startsWith('#') && run.length === 100).length).toBeGreaterThan(5);
  });

  it('is no more in whatever order frames and loads come; a restart begins with half', () => {
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.double({ min: 0, max: 1, noNaN: true }), fc.integer({ min: 5, max: 1000 }), fc.boolean()), {
          minLength: 20,
          maxLength: 60,
        }),
        (steps) => {
          const at = <T>(i: number, of: (step: (typeof steps)[number]) => T): T => of(steps[i % steps.length] ?? [0, 25, false]);
          const given = night(
            (i) => at(Math.floor(i / 40), ([value]) => value),
            2000,
            (i) => at(i, ([, millis]) => millis),
            (i) => (i > 0 && i % 97 === 0 && at(i, ([, , loads]) => loads) ? 'load' : undefined),
          );
          expect(mostIn(given, 0)).toBeLessThanOrEqual(300 + 1e-6);
          expect(mostIn(given, 1)).toBeLessThanOrEqual(60 + 1e-6);
        },
      ),
      { numRuns: 20 },
    );
    const restarted = night(
      () => 1,
      4000,
      () => 100,
      (i) => (i === 2000 ? 'restart' : undefined),
    );
    expect(restarted.slice(2000, 2040).every(({ values }) => values[1] === 1)).toBe(true);
    expect(mostIn(restarted.slice(2000), 0)).toBeLessThanOrEqual(150);
  });
});
