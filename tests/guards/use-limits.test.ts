import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { AttributeName } from '../../node/core/attributes.ts';
import { type LimitMemory, useLimits } from '../../node/guards/use-limits.ts';
import { compileShow } from '../../node/playback/compile.ts';
import { ordinary } from '../helpers/ordinary.ts';
import { place, tinyShow } from '../helpers/tiny-show.ts';

const { show, rig } = compileShow(
  tinyShow({
    fixtures: [
      place('uv', 'uv-flood', '1ch', 1),
      { ...place('blinder', 'blinder-pair', '2ch', 10), use: 'blinder' },
      place('strobe', 'strobe-panel', '2ch', 20),
      place('par', 'rgbw-par', '6ch', 30),
    ],
  }),
);
const cell = (id: string, name: AttributeName, part = 0): number => {
  const found = rig.byId
    .get(id)
    ?.lamps.find((lamp) => lamp.part === part)
    ?.cells.get(name);
  if (found === undefined) throw new Error(`${id} has no ${name}`);
  return found;
};
const guardOf = (name: string) => {
  const build = useLimits.find((one) => one(show, rig).name === name);
  if (build === undefined) throw new Error(`no guard ${name}`);
  return build(show, rig);
};
type Ask = (now: number) => readonly (readonly [cell: number, value: number])[];

function run(
  name: string,
  ask: Ask,
  until: number,
  { apart = 100, memory = guardOf(name).memory() }: { apart?: number; memory?: LimitMemory } = {},
) {
  const guard = guardOf(name);
  const frames: { at: number; asked: Float64Array; frame: Float64Array; held: number[] }[] = [];
  for (let now = 0; now < until; now += apart) {
    const asked = Float64Array.from(rig.rest);
    for (const [at, value] of ask(now)) asked[at] = value;
    const frame = Float64Array.from(asked);
    guard.step(frame, { ...ordinary, now }, memory);
    frames.push({ at: now, asked, frame, held: [...(guard.held?.(memory) ?? [])] });
  }
  return { memory, frames, of: (which: number) => frames.map(({ at, frame }) => ({ at, value: frame[which] as number })) };
}

/** Behind a dimmer that has no channel of its own. */
const uv = cell('uv', 'ColorAdd_UV');
const uvAt = (value: number): ReturnType<Ask> => [
  [uv, value],
  [cell('uv', 'Dimmer'), 1],
];
const blinder = cell('blinder', 'Dimmer');
const panel = [cell('strobe', 'Dimmer'), cell('strobe', 'Shutter1Strobe')] as const;
const par = [cell('par', 'Dimmer'), cell('par', 'Shutter1Strobe')] as const;

describe('what people bear for so long', () => {
  it('of UV is a quarter of an hour, half of it after a start, and it goes down softly to half', () => {
    const told = run('uv', () => uvAt(1), 20 * 60_000, { apart: 1000 }).of(uv);
    expect(told.filter(({ value }) => value === 1).length).toBe(7.5 * 60);
    expect(told.at(-1)?.value).toBe(0.5);
    const steps = run('uv', () => uvAt(1), 8 * 60_000).of(uv);
    for (let i = 1; i < steps.length; i++) expect((steps[i - 1]?.value ?? 0) - (steps[i]?.value ?? 0)).toBeLessThan(0.02);
  });

  it('of a blinder are some seconds, and it returns when it has been off for a while', () => {
    const ask: Ask = (now) => (now < 60_000 || now >= 80_000 ? [[blinder, 1]] : []);
    const { frames } = run('blinders', ask, 100_000);
    const full = frames.filter(({ frame }) => frame[blinder] === 1).map(({ at }) => at);
    expect(full.filter((at) => at < 60_000).length).toBe(40);
    expect(full.filter((at) => at >= 80_000).length).toBe(79);
    expect(frames.find(({ at }) => at === 50_000)?.frame[blinder]).toBeCloseTo(0.3, 9);
    expect(frames.find(({ at }) => at === 50_000)?.held).toEqual([1]);
  });

  it('of a strobe is half a minute: then its light goes down and it stands still, while lamps that do not strobe go on', () => {
    const ask: Ask = () => [
      [panel[0], 1],
      [panel[1], 2],
      [par[0], 1],
    ];
    const { frames } = run('strobes', ask, 60_000);
    const end = frames.at(-1)?.frame;
    expect([end?.[panel[0]], end?.[panel[1]], end?.[par[0]]]).toEqual([0.3, 0, 1]);
    expect(frames.filter(({ frame }) => frame[panel[0]] === 1).length).toBe(150);
  });

  it('is no more when it is broken up: pauses bring back what they are worth', () => {
    // A second on, a tenth off.
    const { frames } = run('blinders', (now) => (now % 1100 < 1000 ? [[blinder, 1]] : []), 60_000);
    expect(frames.filter(({ frame }) => frame[blinder] === 1).length).toBeLessThan(60);
  });

  it('is never more light than was asked for, nor more in any minute than one burst after another, whatever is asked and reloaded', () => {
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.double({ min: 0, max: 1, noNaN: true }), fc.integer({ min: 1, max: 120 })), {
          minLength: 1,
          maxLength: 20,
        }),
        fc.integer({ min: 3, max: 200 }),
        (asks, reload) => {
          const plan = asks.flatMap(([value, frames]) => new Array<number>(frames).fill(value));
          let memory: LimitMemory = guardOf('blinders').memory();
          let above = 0;
          let guard = guardOf('blinders');
          for (let i = 0; i < 600; i++) {
            if (i % reload === 0) {
              guard = guardOf('blinders');
              memory = guard.memory(structuredClone(memory));
            }
            const frame = Float64Array.from(rig.rest);
            const asked = plan[i % plan.length] ?? 0;
            frame[blinder] = asked;
            guard.step(frame, { ...ordinary, now: 100 * i }, memory);
            expect(frame[blinder]).toBeLessThanOrEqual(asked);
            if ((frame[blinder] as number) > 0.3 + 1e-9) above += 100;
          }
          // Of a minute: a burst, the share of the rest that pauses are worth, and what fades.
          expect(above).toBeLessThanOrEqual(8000 + 60_000 / 3 + 4 * 3000);
        },
      ),
      { numRuns: 60 },
    );
  });
});
