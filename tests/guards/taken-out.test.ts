import { describe, expect, it } from 'vitest';
import { Levels } from '../../node/core/levels.ts';
import { finish } from '../../node/core/steps.ts';
import { Pipeline } from '../../node/pipeline/pipeline.ts';
import { compileShow } from '../../node/playback/compile.ts';
import { changeShow, freshState, reduce } from '../../node/playback/reduce.ts';
import type { Show } from '../../node/show/document.ts';
import { hazePermitted } from '../helpers/offline.ts';
import { dimmer, everybody, head, place, type TinyShow, tinyShow } from '../helpers/tiny-show.ts';

const FRAME = 25;
const looks = [{ id: 'on', fade: 0, parts: [{ who: everybody, level: 1, haze: 1 }] }];
const showOf = (fixtures: TinyShow['fixtures']): Show => tinyShow({ fixtures: fixtures ?? [], looks, start: [{ look: 'on' }] });

/** One slot over time, while a show and another are loaded in turn, as by somebody who takes back and repeats a change of the patch. */
function inTurn(turns: readonly (readonly [show: Show, millis: number])[], slot: number): number[] {
  const seen: number[] = [];
  let now = 1_000_000;
  let show = compileShow((turns[0] as (typeof turns)[number])[0]);
  let levels = new Levels(show.rig.universes);
  let pipeline = Pipeline.for(show, levels);
  let state = reduce(show, freshState(show, now), hazePermitted, now, 1);
  for (const [document, millis] of turns) {
    const next = compileShow(document, show);
    if (next.rig !== show.rig) levels = new Levels(next.rig.universes);
    pipeline = finish(Pipeline.making(next, levels, pipeline));
    state = changeShow(show, next, state, now);
    show = next;
    for (const until = now + millis; now < until; now += FRAME) {
      pipeline.run(state, now);
      seen.push((levels.slots(1)[slot - 1] as number) / 255);
    }
  }
  return seen;
}

const again = (times: number, ...turns: readonly (readonly [Show, number])[]) => Array.from({ length: times }, () => turns).flat();

/** Pairs of opposing changes of a tenth, the darker below 0.8 (WCAG 2.2), in any second with both its ends. The lamps here are linear, or on and off. */
function mostFlashes(light: readonly number[]): number {
  const inSecond = (from: number): number => {
    let [direction, low, high, changes] = [0, light[from] as number, light[from] as number, 0];
    for (const one of light.slice(from, from + 1000 / FRAME + 1)) {
      [low, high] = [Math.min(low, one), Math.max(high, one)];
      const turn =
        one - low >= 0.1 && low < 0.8 && direction !== 1 ? 1 : high - one >= 0.1 && one < 0.8 && direction !== -1 ? -1 : 0;
      if (turn === 0) continue;
      [direction, low, high] = [turn, one, one];
      changes++;
    }
    return Math.floor(changes / 2);
  };
  return Math.max(...light.slice(0, -40).map((_, from) => inSecond(from)));
}

/** No order of loads lets more through (what is known of a lamp outlives its being out of the patch for a moment). */
describe('what is taken out of the patch and put back, again and again', () => {
  const lamps = Array.from({ length: 12 }, (_, i) => dimmer(`lamp-${i}`, i + 1));
  const rest = lamps.slice(1);

  it.each([
    ['out', rest],
    ['to another address', [dimmer('lamp-0', 100), ...rest]],
    ['to another mode', [place('lamp-0', 'rgb-par', '3ch', 1), ...rest.slice(3)]],
  ])('flashes no more often for it: %s', (_, others) => {
    const [all, other] = [showOf(lamps), showOf(others)];
    const light = inTurn([[all, 3000], ...again(40, [other, 75], [all, 75]), [all, 3000]], 1);
    expect(mostFlashes(light)).toBeLessThanOrEqual(3);
    expect(light.at(-1)).toBe(1);
  });

  it.each([
    ['a blinder', { ...place('it', 'blinder-pair', '2ch', 20), use: 'blinder' as const }, 20, 3900, 8],
    ['a hazer', { ...place('it', 'hazer', '1ch', 20), use: 'haze' as const }, 20, 100_000, 300],
    [
      'a beam that rests',
      { ...head('it', 20), pose: { x: 0, y: 0, z: 4, put: 'hung' as const, facing: 0, forward: 40, aside: 0 } },
      24,
      2900,
      8,
    ],
  ])('goes on no longer for it: %s', (_, it, slot, millis, most) => {
    const [all, other] = [showOf([dimmer('lamp', 1), it]), showOf([dimmer('lamp', 1)])];
    const given = inTurn(again(6, [all, millis], [other, 50]), slot);
    const seconds = given.filter((one) => one > 0.5).length * (FRAME / 1000);
    expect(seconds).toBeGreaterThan(1);
    expect(seconds).toBeLessThanOrEqual(most);
  });
});
