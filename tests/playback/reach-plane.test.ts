import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { chromaticityAtPlace, placeOf } from '../../node/light/colour-plane.ts';
import { planckian } from '../../node/light/temperature.ts';
import { rigOf } from '../../node/playback/compile.ts';
import { outOfReach } from '../../node/playback/out-of-reach.ts';
import { mixersOf, ReachPlane, reachedAt } from '../../node/playback/reach-plane.ts';
import { checkShow } from '../../node/show/read.ts';
import { type Spoilable, smallShow } from '../show/small-show.ts';

/** Two lamps that mix red, green, blue and white, one of warm and cool white, and one that mixes nothing. */
const json: Spoilable = smallShow();
json.fixtures.push(
  { id: 'whites', name: 'Whites', type: 'tunable-white-par', mode: '3ch', universe: 1, address: 20, use: 'spot' },
  { id: 'bulb', name: 'Bulb', type: 'dimmer', mode: '1ch', universe: 1, address: 40, use: 'centrepiece' },
);
const show = checkShow(json);
const rig = rigOf(show);
const all = mixersOf(rig.fixtures);
const colourful = mixersOf(rig.fixtures.filter(({ use }) => use === 'uplight'));

describe('What lamps reach of the plane of colours', () => {
  it('is asked of lamps that mix, one of each kind', () => {
    expect(all).toMatchObject({ lights: 3, gamuts: { length: 2 } });
    expect(colourful).toMatchObject({ lights: 2, gamuts: { length: 1 } });
    expect(mixersOf([])).toEqual({ gamuts: [], lights: 0 });
  });

  it('is every lamp’s where all of them are one kind that gives it, some’s where the others cannot, and none’s beyond them', () => {
    const warm = placeOf(...planckian(3500));
    const red = placeOf(0.62, 0.33);
    const spectral = placeOf(0.0743, 0.8338);
    expect([warm, red, spectral].map((place) => reachedAt(place, all))).toEqual(['all', 'some', 'none']);
    expect([warm, red, spectral].map((place) => reachedAt(place, colourful))).toEqual(['all', 'all', 'none']);
    // Without lamps there is nothing that would not be reached.
    expect(reachedAt(spectral, mixersOf([]))).toBe('all');
  });

  it('is at every place what the note of that colour says', () => {
    const share = fc.integer({ min: 0, max: 1000 }).map((n) => n / 1000);
    fc.assert(
      fc.property(share, share, (across, up) => {
        const [x, y] = chromaticityAtPlace({ across, up });
        const missing = outOfReach(show.theme, rig, `xy ${x.toFixed(6)} ${y.toFixed(6)}`);
        const expected = missing.length === 0 ? 'all' : missing.length === 1 ? 'some' : 'none';
        expect(reachedAt({ across, up }, all)).toBe(expected);
      }),
      { numRuns: 200 },
    );
  });

  it('is in a picture what it is at each of its points', () => {
    const picture = new ReachPlane(all, 60, 40);
    for (const [column, row] of [
      [0, 0],
      [10, 5],
      [30, 20],
      [59, 39],
      [45, 12],
    ] as const) {
      const place = { across: column / 59, up: row / 39 };
      expect(picture.at(place)).toBe(reachedAt(place, all));
    }
  });
});
