import { describe, expect, it } from 'vitest';
import { InputError } from '../../../node/core/errors.ts';
import { Levels } from '../../../node/core/levels.ts';
import { Encoder } from '../../../node/dmx/encode.ts';
import { Resolver } from '../../../node/pipeline/resolve.ts';
import { compileShow, type Item } from '../../../node/playback/compile.ts';
import { drawProgram } from '../../../node/playback/program.ts';
import { atOnce } from '../../../node/playback/stroke.ts';
import { checkShow } from '../../../node/show/read.ts';
import { smallShow } from '../../show/small-show.ts';

/** A show of one lamp at 1.1 and one look of one part. */
const showOf = (lamp: object, part: object): unknown => ({
  ...smallShow(),
  fixtures: [{ id: 'lamp', name: 'Lamp', universe: 1, address: 1, use: 'spot', ...lamp }],
  groups: [],
  looks: [{ id: 'only', name: 'Only', parts: [{ who: [{ all: true }], ...part }] }],
  chases: [],
  movements: [],
  hits: [],
  buttons: [{ id: 'only', name: 'Only', starts: [{ look: 'only' }] }],
  moments: [],
  start: [],
});

/** The first slots of the lamp with the look wholly on. */
function slots(lamp: object, part: object, count: number): number[] {
  const { rig, items } = compileShow(checkShow(showOf(lamp, part)));
  const frame = Float64Array.from(rig.rest);
  drawProgram((items.get('look:only') as Item).program, frame, atOnce, rig);
  new Resolver(rig).resolve(frame);
  const levels = new Levels(rig.universes);
  Encoder.for(rig, levels).encode(frame);
  return [...levels.snapshot(1).subarray(0, count)];
}

const head = { type: 'spot-head', mode: '12ch' };
const aimed = (adjust: object, pan: number, tilt: number): string =>
  Buffer.from(slots({ ...head, ...adjust }, { aim: { pan, tilt } }, 4)).toString('hex');

/**
 * By hand, 540 degrees of pan and 270 of tilt over 0..65535: pan 90 stands at (90 + 270) / 540 = 2/3, which is 43690 or aaaa; -90 at
 * 1/3, 21845 or 5555; 0 at 32767.5, 8000. Tilt 45 at (45 + 135) / 270 = 2/3, aaaa; -45 at 5555.
 */
describe('Pan and tilt of one lamp', () => {
  it('go out as they are where nothing is adjusted', () => {
    expect(aimed({}, 90, -45)).toBe('aaaa5555');
  });

  it('run the other way where they are inverted, each axis by itself', () => {
    expect(aimed({ invert: { pan: true } }, 90, -45)).toBe('55555555');
    expect(aimed({ invert: { tilt: true } }, 90, -45)).toBe('aaaaaaaa');
  });

  it('change places where they are swapped, and invert is of the axis of the lamp', () => {
    expect(aimed({ swapPanTilt: true }, 0, 90)).toBe('aaaa8000');
    expect(aimed({ swapPanTilt: true, invert: { pan: true } }, 0, 90)).toBe('55558000');
    expect(aimed({ swapPanTilt: true, invert: { tilt: true } }, 45, 90)).toBe('aaaa5555');
  });

  it('stay within the limits, which are of what the show asks', () => {
    expect(aimed({ limits: { pan: [-90, 90] } }, 200, -45)).toBe('aaaa5555');
    expect(aimed({ limits: { pan: [-90, 90], tilt: [-45, 45] } }, -200, 100)).toBe('5555aaaa');
    expect(aimed({ limits: { pan: [-90, 90] }, invert: { pan: true } }, 200, -45)).toBe('55555555');
    // Tilt 45 on the lamp's pan: (45 + 270) / 540 of 65535 is 38228.75, 9555.
    expect(aimed({ limits: { tilt: [-45, 45] }, swapPanTilt: true }, 0, 90)).toBe('95558000');
  });

  it('stay within them at rest too: a lamp that must not look straight down never does', () => {
    // 20 + 135 of 270 degrees of 65535: 37621.9, 92f6.
    expect(Buffer.from(slots({ ...head, limits: { tilt: [20, 60] } }, { level: 1 }, 4)).toString('hex')).toBe('800092f6');
  });

  it('turn over about the middle of an axis that does not begin at its left', () => {
    const own = {
      id: 'own',
      name: 'Own',
      modes: [{ id: '1ch', name: '1', channels: [{ slot: 1, functions: [{ attribute: 'Pan', physical: [0, 510] }] }] }],
    };
    const pan = (invert: boolean): number[] => {
      const { rig, items } = compileShow(
        checkShow({
          ...(showOf({ type: 'own', mode: '1ch', invert: { pan: invert } }, { aim: { pan: 100, tilt: 0 } }) as object),
          fixtureTypes: [own],
        }),
      );
      const frame = Float64Array.from(rig.rest);
      drawProgram((items.get('look:only') as Item).program, frame, atOnce, rig);
      new Resolver(rig).resolve(frame);
      const levels = new Levels(rig.universes);
      Encoder.for(rig, levels).encode(frame);
      return [levels.snapshot(1)[0] ?? -1];
    };
    // Two degrees a step: 100 is 50, and 510 - 100 is 205.
    expect(pan(false)).toEqual([50]);
    expect(pan(true)).toEqual([205]);
  });
});

/**
 * By hand: white of a screen is 0.21264 red, 0.71517 green, 0.07219 blue in luminance (IEC 61966-2-1); GDTF's nominal emitters of the
 * same colours give 21.3, 71.5 and 7.2 (annex B). So the levels are as 0.0099831 : 0.0100024 : 0.0100267, and with blue at full 0.99565,
 * 0.99757, 1: 253.9, 254.4, 255 of 255.
 */
describe('The trim of a lamp', () => {
  const white = { level: 1, colour: '#ffffff' };

  it('takes the emitter down by as much where all are wanted at full', () => {
    expect(slots({ type: 'rgb-par', mode: '3ch' }, white, 3)).toEqual([254, 254, 255]);
    // 0.85 of 254.4 is 216.2.
    expect(slots({ type: 'rgb-par', mode: '3ch', trim: { ColorAdd_G: 0.85 } }, white, 3)).toEqual([254, 216, 255]);
  });

  it('brings the chromaticity out right for a lamp that is really that much stronger there', () => {
    const trim = { ColorAdd_G: 0.7, ColorAdd_W: 0.8 };
    const bytes = slots({ type: 'rgbw-par', mode: '4ch', trim }, { level: 1, colour: 'xy 0.42 0.38' }, 4);
    // GDTF annex B, the green and the white as much stronger as the trim says.
    const emitters = [
      [0.64, 0.33, 21.3],
      [0.3, 0.6, 71.5 / 0.7],
      [0.15, 0.06, 7.2],
      [0.313, 0.329, 100 / 0.8],
    ] as const;
    let [X, Y, Z] = [0, 0, 0];
    for (const [i, [x, y, flux]] of emitters.entries()) {
      const light = ((bytes[i] ?? 0) / 255) * flux;
      X += (x / y) * light;
      Y += light;
      Z += ((1 - x - y) / y) * light;
    }
    // A step of 8 bits moves it by about 0.001.
    expect(Math.hypot(X / (X + Y + Z) - 0.42, Y / (X + Y + Z) - 0.38)).toBeLessThan(0.002);
  });

  it('gives a saturated colour all that the lamp has', () => {
    expect(slots({ type: 'rgb-par', mode: '3ch', trim: { ColorAdd_G: 0.85 } }, { level: 1, colour: 'xy 0.3 0.6' }, 3)).toEqual([
      0, 255, 0,
    ]);
  });
});

describe('The most that a lamp shall give', () => {
  const white = { level: 1, colour: '#ffffff' };

  it('is on the dimmer where there is one, over all its bits', () => {
    // 0.5 of 255 is 127.5; of 65535, 32767.5.
    expect(slots({ type: 'rgb-par', mode: '5ch', dim: 0.5 }, white, 4)).toEqual([128, 254, 254, 255]);
    expect(slots({ type: 'six-colour-par', mode: '9ch-fine', dim: 0.5 }, { level: 1 }, 2)).toEqual([0x80, 0x00]);
  });

  it('is on the emitters where there is none, UV among them', () => {
    expect(slots({ type: 'rgb-par', mode: '3ch', dim: 0.4 }, white, 3)).toEqual([102, 102, 102]);
    expect(slots({ type: 'uv-flood', mode: '1ch', dim: 0.5 }, { uv: 1 }, 1)).toEqual([128]);
    expect(slots({ type: 'six-colour-par', mode: '6ch', dim: 0.2 }, { uv: 1, level: 0 }, 6)).toEqual([0, 0, 0, 0, 0, 51]);
  });

  it('comes once where a bar has a dimmer of the whole, and in every way of a pack', () => {
    expect(slots({ type: 'rgb-bar', mode: '14ch', dim: 0.5 }, white, 5)).toEqual([128, 0, 254, 254, 255]);
    expect(slots({ type: 'dimmer-pack', mode: '4ch', dim: 0.2 }, { level: 1 }, 4)).toEqual([51, 51, 51, 51]);
  });
});

describe('A relay', () => {
  it('is on from the least level up, and off at none', () => {
    const at = (level: number) => slots({ type: 'relay-pack', mode: '4ch' }, { level }, 4);
    expect(at(0)).toEqual([0, 0, 0, 0]);
    expect(at(0.01)).toEqual([200, 200, 200, 200]);
    expect(at(1)).toEqual([200, 200, 200, 200]);
  });
});

describe('An adjustment that cannot be', () => {
  const problems = (lamp: object): string[] => {
    try {
      checkShow(showOf(lamp, { level: 1 }));
      return [];
    } catch (error) {
      return error instanceof InputError ? error.problems.map(({ path, message }) => `${path}: ${message}`) : [String(error)];
    }
  };

  it('is refused where the lamp has no such axis or emitter', () => {
    const par = { type: 'rgb-par', mode: '3ch' };
    expect(problems({ ...par, invert: { pan: true } })).toEqual(['fixtures[0].invert.pan: this mode has no pan']);
    expect(problems({ ...par, limits: { tilt: [-10, 10] } })).toEqual(['fixtures[0].limits.tilt: this mode has no tilt']);
    expect(problems({ ...par, swapPanTilt: true })).toEqual(['fixtures[0].swapPanTilt: this mode has not both pan and tilt']);
    expect(problems({ ...par, trim: { ColorAdd_W: 0.9 } })).toEqual([
      'fixtures[0].trim.ColorAdd_W: this mode has no such emitter; it has ColorAdd_R, ColorAdd_G, ColorAdd_B',
    ]);
  });

  it('is refused beyond what makes sense', () => {
    expect(problems({ ...head, limits: { pan: [90, -90] } })[0]).toContain('the smaller one first');
    expect(problems({ type: 'rgb-par', mode: '3ch', trim: { ColorAdd_G: 0.1 } })[0]).toContain('at least 0.2');
    expect(problems({ type: 'rgb-par', mode: '3ch', dim: 1.2 })[0]).toContain('at most 1');
  });
});
