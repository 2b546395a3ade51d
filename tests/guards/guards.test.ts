import { describe, expect, it } from 'vitest';
import { guards } from '../../node/guards/list.ts';
import { compileShow } from '../../node/playback/compile.ts';
import { describeGuard } from '../helpers/guard-suite.ts';
import { place, tinyShow } from '../helpers/tiny-show.ts';

/** Every kind of lamp, and every kind of attribute, that the library has. */
const compiled = compileShow(
  tinyShow({
    fixtures: [
      place('bare', 'rgb-par', '3ch', 1),
      place('par', 'rgbw-par', '6ch', 10),
      place('fine', 'six-colour-par', '9ch-fine', 20),
      { ...place('blinder', 'blinder-pair', '2ch', 40), use: 'blinder' },
      { ...place('laser', 'rgbw-par', '6ch', 110), use: 'laser' },
      place('fogger', 'fog-machine', '1ch', 120),
      place('spot', 'spot-head', '12ch', 50),
      place('beam', 'beam-head', '12ch', 70),
      place('derby', 'derby', '6ch', 90),
      place('hazer', 'hazer', '2ch', 100),
    ],
    groups: [
      { id: 'a', fixtures: ['bare', 'spot'] },
      { id: 'bb', fixtures: ['spot', 'beam', 'fine'] },
    ],
  }),
);

for (const build of guards) describeGuard(build, compiled);

describe('the list of guards', () => {
  // Flash counts what masters leave of the light; blackout is last, so that nothing lights a blacked-out rig.
  it('ends with the masters, flash and then the blackout', () => {
    const names = guards.map((build) => build(compiled.show, compiled.rig).name);
    expect(names.slice(-3)).toEqual(['masters', 'flash', 'blackout']);
    expect(new Set(names).size).toBe(names.length);
  });

  // design.md, "Guards, in this order".
  it('is in the order of the design', () => {
    const names = guards.map((build) => build(compiled.show, compiled.rig).name);
    expect(names).toEqual([
      'fallback',
      ...['haze', 'duty', 'laser', 'motion', 'homing', 'dwell', 'uv', 'blinders', 'strobes'],
      ...['masters', 'flash', 'blackout'],
    ]);
  });
});
