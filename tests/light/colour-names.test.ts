import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { themeOf } from '../../node/api/show-words.ts';
import { Levels } from '../../node/core/levels.ts';
import type { Triple } from '../../node/core/vector.ts';
import { ColourNames } from '../../node/light/colour-names.ts';
import { difference } from '../../node/light/difference.ts';
import { linearToXyz, toEncoded, toLinear, xyToLinear } from '../../node/light/oklab.ts';
import { planckian } from '../../node/light/temperature.ts';
import { Pipeline } from '../../node/pipeline/pipeline.ts';
import { lampLights } from '../../node/rig/light-of.ts';
import { Picture } from '../../node/rig/picture.ts';
import { checkShow } from '../../node/show/read.ts';
import { Offline, press, START } from '../helpers/offline.ts';

const wedding = checkShow(JSON.parse(readFileSync(new URL('../../shows/barn-wedding.json', import.meta.url), 'utf8')));
const names = new ColourNames(themeOf(wedding));

/** Light of a chromaticity as a screen shows it, packed. */
function screenOf(at: readonly [x: number, y: number]): number {
  const linear = xyToLinear(...at);
  const most = Math.max(...linear);
  return linear.reduce((packed, part) => packed * 256 + Math.round(255 * toEncoded(Math.max(0, part) / most)), 0);
}

const xyzOf = (packed: number): Triple =>
  linearToXyz([packed >> 16, (packed >> 8) & 255, packed & 255].map((part) => toLinear(part / 255)) as unknown as Triple);

/** What the lamps of a use give a second after a button is pressed: their colours in the picture, and the light of the frame itself. */
function given(button: string, use: string, after: number) {
  const night = new Offline(wedding, [[0, press(button)]]);
  const pipeline = Pipeline.for(night.show, new Levels(night.show.rig.universes));
  for (let at = 0; at <= after; at += 50) pipeline.run(night.state(at), START + at);
  const colours = new Picture(night.show.rig).colours(pipeline.frame);
  return lampLights(night.show.rig)
    .filter(({ fixture }) => wedding.fixtures[fixture]?.use === use)
    .map((lamp) => {
      lamp.look(pipeline.frame);
      return { shown: colours[lamp.fixture] as number, light: linearToXyz([...lamp.light] as unknown as Triple) };
    });
}
const said = (button: string, use: string, after: number) => [
  ...new Set(given(button, use, after).map(({ shown }) => names.nameOf(shown))),
];

describe('the name of a light', () => {
  it('is white by its colour temperature, also where a pale colour of the client’s is near', () => {
    // EN 12464-1: warm below 3300 K, from memory.
    const whites: readonly (readonly [kelvin: number, name: string])[] = [
      [3000, 'warm white'],
      [3200, 'warm white'],
      [4000, 'white'],
      [5600, 'white'],
      [6500, 'white'],
    ];
    for (const [kelvin, name] of whites) expect([kelvin, names.nameOf(screenOf(planckian(kelvin)))]).toEqual([kelvin, name]);
    // Each is nearer to one of the client's than the 9 that used to count.
    expect(difference(xyzOf(screenOf(planckian(4000))), xyzOf(0xe8b7a2))).toBeLessThan(9);
  });

  it('is the client’s where it is that colour', () => {
    for (const { name, at } of themeOf(wedding)) expect(names.nameOf(screenOf(at))).toBe(name.toLowerCase());
  });

  it('is not the client’s where it is six or more from it by CIEDE2000', () => {
    const rose = new ColourNames([{ name: 'Rose', at: [0.42, 0.31] }]);
    for (let x = 0.2; x < 0.6; x += 0.01)
      for (let y = 0.2; y < 0.5; y += 0.01) {
        const packed = screenOf([x, y]);
        if (difference(xyzOf(packed), linearToXyz(xyToLinear(0.42, 0.31))) >= 6) expect(rose.nameOf(packed)).not.toBe('rose');
      }
  });

  it('is that of what the demo’s lamps give: a white hit is white, lights up is warm white, dinner is champagne', () => {
    expect(said('white-hit', 'uplight', 1000)).toEqual(['white']);
    expect(said('white-hit', 'dance wash', 1000)).toEqual(['white']);
    expect(said('lights-up', 'uplight', 9000)).toEqual(['warm white']);
    expect(said('lights-up', 'dance wash', 9000)).toEqual(['warm white']);
    expect(said('dinner', 'uplight', 9000)).toEqual(['champagne', 'candle']);
  });

  it('and its colour in the picture are those of the light that leaves the lamp', () => {
    for (const [button, use, after] of [
      ['white-hit', 'uplight', 1000],
      ['lights-up', 'uplight', 9000],
      ['lights-up', 'dance wash', 9000],
      ['dinner', 'uplight', 9000],
    ] as const)
      for (const { shown, light } of given(button, use, after)) expect(difference(xyzOf(shown), light)).toBeLessThan(1);
    // Lights up is asked for in 3000 K: Kang et al. 2002.
    const warm = linearToXyz(xyToLinear(...planckian(3000)));
    for (const { light } of given('lights-up', 'uplight', 9000)) expect(difference(light, warm)).toBeLessThan(1);
  });
});
