import { describe, expect, it } from 'vitest';
import { compileShow } from '../../../node/playback/compile.ts';
import type { Part, Who } from '../../../node/show/document.ts';
import {
  addedBehind,
  allCountedIn,
  isInBeats,
  mirrored,
  moved,
  newStep,
  reversed,
  type Step,
  scaleOf,
} from '../../../ui/src/bench/chases/steps.ts';
import { hall, part } from './hall.ts';

const step = (who: Who[], beats = 1): Step => ({ length: { beats }, fade: 0, parts: [part({ who, level: 1 })] });
const [a, b, c] = [step([{ fixture: 'par-1' }]), step([{ fixture: 'par-2' }]), step([{ fixture: 'par-3' }])] as const;

describe('Steps', () => {
  it('move one place at a time, and no further than an end', () => {
    expect(moved([a, b, c], 1, -1)).toEqual([b, a, c]);
    expect(moved([a, b, c], 1, 1)).toEqual([a, c, b]);
    expect(moved([a, b, c], 0, -1)).toEqual([a, b, c]);
    expect(moved([a, b, c], 2, 1)).toEqual([a, b, c]);
  });

  it('run the other way and back again', () => {
    expect(reversed([a, b, c])).toEqual([c, b, a]);
    expect(reversed(reversed([a, b, c]))).toEqual([a, b, c]);
  });

  it('are made as long as the one beside them', () => {
    const long = { ...a, length: { seconds: 3 }, fade: 0.5 };
    expect(newStep(long, [])).toEqual({ length: { seconds: 3 }, fade: 0.5, parts: [] });
    expect(addedBehind([a, c], 0, b)).toEqual([a, b, c]);
  });

  it('are counted in seconds by the tempo, and stay as long', () => {
    const slow = allCountedIn([a, step([], 4)], false, 120);
    expect(slow.map(({ length }) => length)).toEqual([{ seconds: 0.5 }, { seconds: 2 }]);
    expect(isInBeats(slow)).toBe(false);
    expect(allCountedIn(slow, true, 120).map(({ length }) => length)).toEqual([{ beats: 1 }, { beats: 4 }]);
  });

  it('fill the width, and the shortest is still as wide as a thumb', () => {
    expect(scaleOf([a, b], 400, 48)).toBe(200);
    expect(scaleOf([step([], 0.25), step([], 16)], 400, 48)).toBe(192);
    expect(scaleOf([], 400, 48)).toBe(0);
  });
});

describe('A chase in the mirror', () => {
  const rig = hall();
  const whoOf = (who: Who[]) => mirrored([step(who)], rig)[0]?.parts[0]?.who;

  it('swaps each light with the one opposite among those for the same use', () => {
    expect(whoOf([{ fixture: 'par-1' }])).toEqual([{ fixture: 'par-4' }]);
    expect(whoOf([{ fixture: 'par-2' }, { fixture: 'spot-1' }])).toEqual([{ fixture: 'par-3' }, { fixture: 'spot-2' }]);
  });

  it('swaps a group with the group opposite, and takes single lights where there is none', () => {
    expect(whoOf([{ group: 'left' }])).toEqual([{ group: 'right' }]);
    expect(whoOf([{ group: 'odd' }])).toEqual([{ fixture: 'par-4' }, { fixture: 'par-2' }]);
  });

  it('leaves all lights, and all of a use', () => {
    expect(whoOf([{ all: true }, { use: 'spot' }])).toEqual([{ all: true }, { use: 'spot' }]);
  });

  /** What the node makes of a part: values of each lamp's colour cells, in the order of the show. */
  const colours = (own: Part): string[] => {
    const show = hall({
      looks: [{ id: 'one', name: 'One', parts: [own] }],
      buttons: [{ id: 'one', name: 'One', starts: [{ look: 'one' }] }],
    });
    const { rig: laid, items } = compileShow(show);
    const program = items.get('look:one')?.program;
    if (program?.kind !== 'still') throw new Error('is no look');
    return laid.fixtures
      .filter(({ use }) => use === 'uplight')
      .map(({ lamps: [{ cells }] }) =>
        (['ColourL', 'ColourA', 'ColourB'] as const)
          .map((name) => program.values[program.cells.indexOf(cells.get(name) ?? -1)])
          .join(' '),
      );
  };

  it.each([2, 3, 4, 5])('deals %i colours out the other way: lamp for lamp what the node makes of it, turned round', (count) => {
    const colour = ['#ff0000', '#00ff00', '#0000ff', '#ffff00', '#ff00ff'].slice(0, count);
    const own = part({ colour });
    const [other] = mirrored([{ length: { beats: 1 }, fade: 0, parts: [own] }], rig);
    expect(colours(other?.parts[0] as Part)).toEqual(colours(own).reverse());
  });

  it('seen twice is as it was', () => {
    const steps = [
      step([{ fixture: 'par-1' }, { group: 'left' }]),
      { ...b, parts: [part({ colour: ['#ff0000', '#00ff00', '#0000ff'] })] },
    ];
    expect(mirrored(mirrored(steps, rig), rig)).toEqual(steps);
  });
});
