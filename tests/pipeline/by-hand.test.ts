import { describe, expect, it } from 'vitest';
import type { Command } from '../../node/core/commands.ts';
import { Levels } from '../../node/core/levels.ts';
import type { ByHand } from '../../node/pipeline/by-hand.ts';
import { Pipeline } from '../../node/pipeline/pipeline.ts';
import { compileShow } from '../../node/playback/compile.ts';
import { freshState, reduce } from '../../node/playback/reduce.ts';
import { lightOf, slotAt } from '../helpers/lightness.ts';
import { press, START } from '../helpers/offline.ts';
import { everybody, head, par, place, tinyShow } from '../helpers/tiny-show.ts';

/** One slot for all: closed to 7, dimmer to 134, strobe of 1 to 20 hertz to 239, and open. */
const all = {
  id: 'all-in-one',
  name: 'All in one',
  modes: [
    {
      id: 'm',
      name: 'M',
      channels: [
        {
          slot: 1,
          functions: [
            {
              attribute: 'Shutter1' as const,
              stretches: [
                { slot: 0, from: 0, to: 7 },
                { slot: 1, from: 240, to: 255 },
              ],
            },
            { attribute: 'Dimmer' as const, from: 8, to: 134 },
            { attribute: 'Shutter1Strobe' as const, from: 135, to: 239, physical: [1, 20] as [number, number] },
          ],
        },
      ],
    },
  ],
};

/** Slots: par 1 to 6 (dimmer, red, green, blue, white, strobe), head 20 to 31, bare 40 to 42 (red, green, blue), hazer 50, all in one 60, nobody's 100. */
const show = compileShow(
  tinyShow({
    fixtureTypes: [all],
    fixtures: [
      par('par', 1),
      { ...head('head', 20), limits: { pan: [-90, 90] } },
      place('bare', 'rgb-par', '3ch', 40),
      place('hazer', 'hazer', '1ch', 50),
      place('all', 'all-in-one', 'm', 60),
    ],
    looks: [{ id: 'on', fade: 0, parts: [{ who: everybody, level: 0.5, colour: '#ffffff' }] }],
  }),
);

/** What goes out after a few frames of driving, under these commands: frames that flip between two values are found out. */
function slots(byHand: ByHand, ...commands: Command[]): number[] {
  const levels = new Levels(show.rig.universes);
  const pipeline = Pipeline.for(show, levels);
  const state = commands.reduce((before, command) => reduce(show, before, command, START), freshState(show, START));
  // What is seen for the first time rises.
  pipeline.run(state, START, byHand);
  const frames = [0, 1, 2, 3].map((i) => {
    pipeline.run(state, START + 2000 + i * 25, byHand);
    return [...levels.snapshot(1)];
  });
  expect(frames[2]).toEqual(frames[1]);
  expect(frames[3]).toEqual(frames[1]);
  return frames[3] ?? [];
}
const driven = (...of: [slot: number, value: number][]): ByHand => ({
  slots: of.map(([slot, value]) => ({ universe: 1, slot, value })),
});
const master = (level: number): Command => ({ do: 'master', level, fade: 0 });
const blackout: Command = { do: 'blackout', on: true };
/** By its number, from 1. */
const slot = (all: readonly number[], number: number) => all[number - 1];

describe('a slot that is driven by hand', () => {
  it('goes out with its very value where no guard changes what it means', () => {
    const all = slots(driven([1, 77], [2, 3], [20, 99], [21, 200], [40, 201]), press('on'));
    expect([1, 2, 20, 21, 40].map((number) => slot(all, number))).toEqual([77, 3, 99, 200, 201]);
  });

  it('goes dark with the master, and is taken down by it, dimmer channel or not', () => {
    expect([1, 40].map((number) => slot(slots(driven([1, 255], [40, 200]), press('on'), master(0)), number))).toEqual([0, 0]);
    const left = Math.round(200 * lightOf(0.5));
    expect([1, 40].map((number) => slot(slots(driven([1, 200], [40, 200]), press('on'), master(0.5)), number))).toEqual([
      left,
      left,
    ]);
  });

  it('that is haze runs on under a master at nothing, which takes light down and no more; a blackout stops it', () => {
    expect(slot(slots(driven([50, 255]), master(0)), 50)).toBe(255);
    expect(slot(slots(driven([50, 255]), master(0), blackout), 50)).toBe(0);
  });

  it('that is an emitter behind a dimmer keeps its value: the dimmer takes the lamp down', () => {
    const all = slots(driven([2, 200]), press('on'), master(0.5));
    expect([slot(all, 1), slot(all, 2)]).toEqual([Math.round(255 * lightOf(0.5) ** 2), 200]);
  });

  it('lights nothing in a blackout, whosesoever it is', () => {
    const all = slots(driven([1, 255], [6, 200], [24, 255], [26, 255], [40, 255], [100, 255]), press('on'), blackout);
    expect([1, 6, 24, 26, 40, 100].map((number) => slot(all, number))).toEqual([0, 0, 0, 0, 0, 0]);
  });

  it('that holds dimmer, strobe and an open shutter alike is light to masters and to the guard of flashes', () => {
    const sent = (value: number, ...commands: Command[]) => slot(slots(driven([60, value]), ...commands), 60);
    expect(sent(250)).toBe(250);
    expect(sent(250, master(0))).toBeLessThanOrEqual(8);
    expect(sent(140, master(0))).toBeLessThanOrEqual(8);
    // 18 hertz; 3 are 145.9.
    expect(sent(230)).toBeLessThanOrEqual(145);
  });

  it('of no lamp goes out as it is, and returns to nothing', () => {
    const levels = new Levels(show.rig.universes);
    const pipeline = Pipeline.for(show, levels);
    const state = reduce(show, freshState(show, START), master(0), START);
    pipeline.run(state, START, driven([100, 9]));
    expect(levels.snapshot(1)[99]).toBe(9);
    pipeline.run(state, START + 25);
    expect(levels.snapshot(1)[99]).toBe(0);
  });

  it('turns a head no further than the patch permits', () => {
    // The type's pan runs over 540 degrees from -270: 90 degrees is two thirds of the way.
    expect(slot(slots(driven([20, 255]), press('on')), 20)).toBe(0xaa);
    expect(slot(slots(driven([20, 130]), press('on')), 20)).toBe(130);
  });

  it('gives way to what plays as soon as it is let go', () => {
    const levels = new Levels(show.rig.universes);
    const pipeline = Pipeline.for(show, levels);
    const state = reduce(show, freshState(show, START), press('on'), START);
    pipeline.run(state, START);
    pipeline.run(state, START + 2000);
    const before = [...levels.snapshot(1)];
    pipeline.run(state, START + 2025, driven([1, 3], [2, 250], [40, 7]));
    pipeline.run(state, START + 2050);
    expect([...levels.snapshot(1)]).toEqual(before);
  });
});

describe('a fixture that is lit up to be found', () => {
  it('passes the guards like the rest', () => {
    expect(slot(slots({ slots: [], identify: 'par' }), 1)).toBe(255);
    expect(slot(slots({ slots: [], identify: 'par' }, master(0.5)), 1)).toBe(slotAt(0.5));
    expect(slot(slots({ slots: [], identify: 'par' }, blackout), 1)).toBe(0);
  });
});
