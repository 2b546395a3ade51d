import { describe, expect, it } from 'vitest';
import { Levels } from '../../node/core/levels.ts';
import { Pipeline } from '../../node/pipeline/pipeline.ts';
import { type CompiledShow, compileShow, type Item } from '../../node/playback/compile.ts';
import { freshState, reduce } from '../../node/playback/reduce.ts';
import { press, START } from '../helpers/offline.ts';
import { everybody, head, par, tinyShow } from '../helpers/tiny-show.ts';

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
