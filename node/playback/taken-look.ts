import { type AttributeName, attribute, directNames } from '../core/attributes.ts';
import type { Frame } from '../core/frame.ts';
import { clampLevel } from '../core/units.ts';
import { levelFor, lightAt } from '../light/lightness.ts';
import { oklabToXyz } from '../light/oklab.ts';
import type { Lamp, Rig, RigFixture } from '../rig/rig.ts';
import type { Part, Show, Who } from '../show/document.ts';
import { uses } from '../show/document.ts';
import { Colours } from './colours.ts';

/** Light below this is none: a lamp that is all but out is left dark. */
const DARK = 0.0005;
/** A chromaticity so near to one of the client's is that. */
const SAME = 0.0005;
/** Fields of a part that stand for an attribute. */
const fields: Readonly<Partial<Record<AttributeName, 'gobo' | 'zoom' | 'uv'>>> = { Gobo1: 'gobo', Zoom: 'zoom', ColorAdd_UV: 'uv' };

/**
 * What a frame shows, as the parts of a look: all lights out first, then those that are lit, alike ones together. Haze, strobes and what turns by itself are
 * left out, for they need a person. Where the cells of a bar are of unlike brightness it is as bright as the brightest.
 * @returns nothing but the darkness where no lamp is lit
 */
export function partsOf(show: Show, rig: Rig, frame: Frame): Part[] {
  const reader = new Reader(show, rig, frame);
  const alike = new Map<string, { readonly part: Omit<Part, 'who'>; readonly lamps: string[] }>();
  for (const fixture of rig.fixtures) {
    const part = reader.partOf(fixture);
    if (part === undefined) continue;
    const key = JSON.stringify(part);
    const known = alike.get(key) ?? { part, lamps: [] };
    known.lamps.push(fixture.id);
    alike.set(key, known);
  }
  const lit = [...alike.values()].map(({ part, lamps }): Part => ({ ...part, who: whoIs(lamps, show) }));
  return [{ who: [{ all: true }], brightness: 'best', level: 0 }, ...lit];
}

class Reader {
  readonly #rig: Rig;
  readonly #frame: Frame;
  readonly #colours: Colours;
  readonly #theme: readonly { readonly text: string; readonly at: readonly [number, number] }[];
  readonly #xyz = new Float64Array(3);

  constructor({ theme }: Pick<Show, 'theme'>, rig: Rig, frame: Frame) {
    this.#rig = rig;
    this.#frame = frame;
    this.#colours = new Colours(theme);
    this.#theme = theme.colours.flatMap(({ id }) => {
      const text = `theme:${id}`;
      const at = this.#colours.read(text)?.at;
      return at === undefined ? [] : [{ text, at }];
    });
  }

  partOf(fixture: RigFixture): Omit<Part, 'who'> | undefined {
    if (fixture.use === 'haze' || fixture.use === 'laser') return undefined;
    const { lamps } = fixture;
    const [whole] = lamps;
    const own = lamps.map((lamp) => this.#lampOf(lamp, fixture));
    const shut = this.#value(whole, 'Shutter1') === 0;
    const behind = lightAt(this.#value(whole, 'Dimmer') ?? 1);
    const light = shut ? 0 : behind * Math.max(...own.map(({ light: one }, i) => (i === 0 && lamps.length > 1 ? 0 : one)));
    const others = this.#others(whole);
    if (light < DARK && (others.uv ?? 0) === 0) return undefined;
    const colours = own.flatMap(({ colour }) => colour ?? []);
    const [first] = colours;
    const pan = this.#value(whole, 'Pan');
    const tilt = this.#value(whole, 'Tilt');
    return {
      brightness: 'best',
      level: rounded(clampLevel(levelFor(light)), 4),
      ...(first === undefined ? {} : { colour: colours.every((one) => one === first) ? first : colours }),
      ...(pan === undefined || tilt === undefined ? {} : { aim: { pan: rounded(pan, 2), tilt: rounded(tilt, 2) } }),
      ...others,
    };
  }

  /** What a lamp gives of its light behind the dimmer of the whole, and in which colour. */
  #lampOf(lamp: Lamp, fixture: RigFixture): { readonly light: number; readonly colour?: string } {
    const dimmed = lamp.part > 0 ? lightAt(this.#value(lamp, 'Dimmer') ?? 1) : 1;
    const at = lamp.cells.get('ColourL');
    if (at === undefined || lamp.emitters.length === 0) return { light: dimmed };
    oklabToXyz(this.#frame, at, this.#xyz);
    const [X, Y, Z] = this.#xyz as unknown as [number, number, number];
    const sum = X + Y + Z;
    if (!(sum > 0) || Y <= 0) return { light: 0 };
    const xy = [X / sum, Y / sum] as const;
    const text = this.#theme.find((one) => Math.hypot(one.at[0] - xy[0], one.at[1] - xy[1]) < SAME)?.text;
    const colour = text ?? `xy ${xy.map((one) => one.toFixed(4)).join(' ')}`;
    const read = this.#colours.read(colour);
    if (read === undefined) return { light: dimmed };
    // Oklab of one chromaticity goes with the cube root of light.
    const [full] = this.#colours.worn(read, fixture, lamp, Number.POSITIVE_INFINITY);
    const share = full > 0 ? clampLevel(((this.#frame[at] as number) / full) ** 3) : 1;
    return { light: dimmed * share, colour };
  }

  /** What else is asked of it, away from rest. */
  #others(whole: Lamp): Pick<Part, 'gobo' | 'zoom' | 'uv' | 'attributes'> {
    const found: Record<string, number> = {};
    const more: Record<string, number> = {};
    for (const name of directNames) {
      const row = attribute(name);
      const cell = whole.cells.get(name);
      if (cell === undefined || row.needsPerson || row.hazes || ['Dimmer', 'Pan', 'Tilt', 'Fan1'].includes(name)) continue;
      const value = this.#frame[cell] as number;
      if (value === this.#rig.rest[cell] || row.range === undefined) continue;
      const [least, most] = row.range;
      const kept = row.unit === 'slot' ? Math.round(value) : rounded(value, 4);
      if (kept < least || kept > most) continue;
      const field = fields[name];
      if (field === undefined) more[name] = kept;
      else found[field] = kept;
    }
    return { ...found, ...(Object.keys(more).length === 0 ? {} : { attributes: more }) };
  }

  #value(lamp: Lamp, name: AttributeName): number | undefined {
    const cell = lamp.cells.get(name);
    return cell === undefined ? undefined : this.#frame[cell];
  }
}

/** By use or group, where it is just that; else one by one. */
function whoIs(lamps: readonly string[], { fixtures, groups }: Pick<Show, 'fixtures' | 'groups'>): Who[] {
  const all = new Set(lamps);
  const isAll = (ids: readonly string[]): boolean => ids.length === all.size && ids.every((id) => all.has(id));
  if (isAll(fixtures.map(({ id }) => id))) return [{ all: true }];
  const use = uses.find((one) => isAll(fixtures.filter((fixture) => fixture.use === one).map(({ id }) => id)));
  if (use !== undefined) return [{ use }];
  const group = groups.find((one) => isAll(one.fixtures));
  return group === undefined ? lamps.map((fixture) => ({ fixture })) : [{ group: group.id }];
}

const rounded = (value: number, digits: number): number => Number(value.toFixed(digits));
