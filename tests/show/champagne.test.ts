import { describe, expect, it } from 'vitest';
import { isEmitter } from '../../node/core/attributes.ts';
import { Levels } from '../../node/core/levels.ts';
import { Encoder } from '../../node/dmx/encode.ts';
import { LampColour } from '../../node/light/lamp-colour.ts';
import { compileShow, type Item } from '../../node/playback/compile.ts';
import { drawProgram } from '../../node/playback/program.ts';
import { atOnce } from '../../node/playback/stroke.ts';
import type { Channel } from '../../node/rig/fixture-type.ts';
import { demoShow } from './demo-show.ts';

interface Seen {
  readonly type: string;
  readonly x: number;
  readonly y: number;
  /** In candela by what is usual of their kind, behind every dimmer. */
  readonly luminance: number;
}

/** What comes out of every lamp, and of every cell of a bar, by the bytes on the wire once the look is wholly on. */
function seen(lookId: string): Seen[] {
  const { rig, items } = compileShow(demoShow('barn-wedding'));
  const frame = Float64Array.from(rig.rest);
  drawProgram((items.get(`look:${lookId}`) as Item).program, frame, atOnce, rig);
  const levels = new Levels(rig.universes);
  Encoder.for(rig, levels).encode(frame);

  return rig.fixtures.flatMap(({ type, lamps, universe, address, adjust }) => {
    const slots = levels.snapshot(universe);
    const share = ({ slot, fine }: Channel): number => {
      const high = slots[address + slot - 2] ?? 0;
      return fine === undefined ? high / 255 : (high * 256 + (slots[address + fine - 2] ?? 0)) / 65535;
    };
    const dimmerOf = (channels: readonly Channel[]): number => {
      const dimmer = channels.find(({ functions }) => functions[0]?.attribute === 'Dimmer');
      return dimmer === undefined ? 1 : share(dimmer);
    };
    return lamps.flatMap(({ part, emitters, channels }) => {
      if (emitters.length === 0) return [];
      // A trimmed lamp is really stronger in that emitter: that is what the trim says.
      const colours = new LampColour(emitters, type.emitters, adjust.trim);
      const mixed = emitters.map((name) => {
        const of = channels.find(({ functions }) => functions.some(({ attribute }) => attribute === name && isEmitter(attribute)));
        return of === undefined ? 0 : share(of);
      });
      const [X, Y, Z] = colours.light(mixed);
      const open = dimmerOf(channels) * (part > 0 ? dimmerOf(lamps[0].channels) : 1);
      // What was held down in the patch is held down on purpose.
      const [least, most] = type.typical?.candela ?? [0, 0];
      const usual = Math.sqrt(least * most) / Math.max(1, lamps.length - 1);
      const luminance = (((Y * colours.full) / colours.told) * usual * open) / (adjust.dim ?? 1);
      return luminance === 0 ? [] : [{ type: type.id, x: X / (X + Y + Z), y: Y / (X + Y + Z), luminance }];
    });
  });
}

describe('Champagne everywhere', () => {
  const lamps = seen('champagne-room');

  it('shines from three unlike types, cells of a bar and a trimmed par among them', () => {
    expect(new Set(lamps.map(({ type }) => type))).toEqual(new Set(['six-colour-par', 'rgbw-par', 'rgb-bar']));
    // Twelve uplights, four pars, two bars of four cells.
    expect(lamps).toHaveLength(24);
  });

  // #f7e7ce by IEC 61966-2-1, worked out beside the code: linear 0.9301, 0.7991, 0.6172; XYZ 0.7807, 0.8138, 0.6999; xy 0.3403, 0.3547.
  it('has the chromaticity of the theme on all of them, within 0.003', () => {
    for (const { type, x, y } of lamps) {
      expect(Math.abs(x - 0.3403), type).toBeLessThan(0.003);
      expect(Math.abs(y - 0.3547), type).toBeLessThan(0.003);
    }
  });

  it('is as bright from one as from another, within 3 %', () => {
    const bright = lamps.map(({ luminance }) => luminance);
    expect(Math.max(...bright) / Math.min(...bright)).toBeLessThan(1.03);
  });

  it('would not be, with each giving its best: the measure can tell', () => {
    const bright = seen('lights-up').map(({ luminance }) => luminance);
    expect(Math.max(...bright) / Math.min(...bright)).toBeGreaterThan(1.5);
  });
});
