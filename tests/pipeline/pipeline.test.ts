import { describe, expect, it } from 'vitest';
import { Levels } from '../../node/core/levels.ts';
import { Pipeline } from '../../node/pipeline/pipeline.ts';
import { type CompiledShow, compileShow, type Item } from '../../node/playback/compile.ts';
import { freshState, reduce } from '../../node/playback/reduce.ts';
import { press, START } from '../helpers/offline.ts';
import { dimmer, everybody, head, only, par, tinyShow } from '../helpers/tiny-show.ts';

const show = compileShow(
  tinyShow({
    fixtures: [par('par', 1), head('head', 20)],
    looks: [{ id: 'full', fade: 0, parts: [{ who: everybody, level: 1, strobe: 2, aim: { pan: 90, tilt: 45 } }] }],
  }),
);
const full = reduce(show, freshState(show, START), press('full'), START);

describe('the pipeline', () => {
  it('draws what plays, through the guards, into the levels that the outputs read', () => {
    const levels = new Levels(show.rig.universes);
    const pipeline = Pipeline.for(show, levels);
    // What is seen for the first time rises.
    pipeline.run(full, START);
    pipeline.run(full, START + 2000);
    const [dimmer, , , , white, strobe] = levels.snapshot(1);
    expect([dimmer, white, strobe]).toEqual([255, 255, 21]);
    pipeline.run(reduce(show, full, { do: 'blackout', on: true }, START), START + 2000);
    expect(levels.slots(1)[0]).toBe(0);
    expect(levels.frames()).toBe(3);
    expect(pipeline.takeFault()).toBeUndefined();
  });

  it('keeps the room dark when a program breaks, says so once, and goes on when it is whole again', () => {
    let broken = true;
    const item = show.items.get('look:full') as Item;
    const { program } = item;
    if (program.kind !== 'still') throw new Error('a look is still');
    const fragile: Item = {
      ...item,
      program: {
        ...program,
        get cells() {
          if (broken) throw new Error('a bug');
          return program.cells;
        },
      },
    };
    const breaking: CompiledShow = { ...show, items: new Map([['look:full', fragile]]) };
    const levels = new Levels(show.rig.universes);
    const pipeline = Pipeline.for(breaking, levels);
    pipeline.run(full, START);
    const slots = levels.snapshot(1);
    // Dimmer and strobe of the par, dimmer and shutter of the head.
    expect([slots[0], slots[5], slots[23], slots[24], slots[25]]).toEqual([0, 0, 0, 0, 0]);
    expect(pipeline.takeFault()).toBe('a bug');
    expect(pipeline.takeFault()).toBeUndefined();
    broken = false;
    pipeline.run(full, START + 25);
    pipeline.run(full, START + 2025);
    expect(levels.slots(1)[0]).toBe(255);
  });
});

describe('Shows that follow each other quickly', () => {
  /** A lamp in full light or dark, at one of two addresses. */
  const lit = (level: number, swapped = false) =>
    compileShow(
      tinyShow({
        fixtures: [dimmer('bright', swapped ? 2 : 1), dimmer('dark', swapped ? 1 : 2)],
        looks: [{ id: 'look', fade: 0, parts: [{ who: only('bright'), level }] }],
      }),
    );

  /** Changes of a tenth and more that oppose the one before (WCAG 2.2, general flash), in the values of a slot. */
  function changes(values: readonly number[]): number {
    let [count, low, high, way] = [0, values[0] ?? 0, values[0] ?? 0, 0];
    for (const value of values) {
      if (value - low > 25.5 && way !== 1) [count, way, high, low] = [count + 1, 1, value, value];
      else if (high - value > 25.5 && way !== -1) [count, way, high, low] = [count + 1, -1, value, value];
      [low, high] = [Math.min(low, value), Math.max(high, value)];
    }
    return count;
  }

  /** One show after the other for a second, of each one frame: it goes out before the last of the steps by which the next one is made ready. */
  function slotsOf(shows: readonly CompiledShow[]): number[] {
    const levels = new Levels(shows[0]?.rig.universes ?? []);
    const began = reduce(shows[0] as CompiledShow, freshState(shows[0] as CompiledShow, START), press('look'), START);
    let pipeline = Pipeline.for(shows[0] as CompiledShow, levels);
    for (let at = 0; at < 3000; at += 25) pipeline.run(began, START + at);
    const values: number[] = [];
    let now = START + 3000;
    for (let i = 1; now < START + 4000; i++) {
      const making = () => Pipeline.making(shows[i % shows.length] as CompiledShow, levels, pipeline);
      const count = [...making()].length;
      const steps = making();
      for (let k = 0; k < count; k++) steps.next();
      pipeline.run(began, now);
      values.push(levels.slots(1)[0] as number);
      now += 25;
      const { done, value } = steps.next();
      if (done !== true) throw new Error('one step more than before');
      pipeline = value;
    }
    return values;
  }

  it('flash no more often than one: what falls between the steps of getting ready is not forgotten', () => {
    expect(changes(slotsOf([lit(1), lit(0)]))).toBeLessThanOrEqual(7);
  });

  it('flash no more often for a lamp that changes its place with another', () => {
    expect(changes(slotsOf([lit(1), lit(1, true)]))).toBeLessThanOrEqual(7);
  });
});
