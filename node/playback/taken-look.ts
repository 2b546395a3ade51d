import { type AttributeName, attribute, directNames } from '../core/attributes.ts';
import type { Frame } from '../core/frame.ts';
import { clampLevel } from '../core/units.ts';
import type { Triple } from '../core/vector.ts';
import { levelFor, lightAt } from '../light/lightness.ts';
import { oklabToXyz, xyzToOklab } from '../light/oklab.ts';
import { LampColours } from '../rig/lamp-colours.ts';
import type { Lamp, Rig, RigFixture } from '../rig/rig.ts';
import type { Part, Show, Who } from '../show/document.ts';
import { uses } from '../show/document.ts';
import { Colours } from './colours.ts';
import { leftOut, named } from './left-out.ts';

/** Light below this is none: a lamp that is all but out is left dark. */
const DARK = 0.0005;
/** A chromaticity so near to one of the client's is that. */
const SAME = 0.0005;
/** Levels of parts that differ by more than this are seen to be unlike. A choice of ours, no source. */
const UNEVEN = 0.03;
/** What a cell wears that gives no light beside others that do. */
const BLACK = '#000000';
/** Fields of a part that stand for an attribute. */
const fields: Readonly<Partial<Record<AttributeName, 'gobo' | 'zoom' | 'uv'>>> = { Gobo1: 'gobo', Zoom: 'zoom', ColorAdd_UV: 'uv' };

/** A look that was taken from a frame. */
export interface Taken {
  readonly parts: readonly Part[];
  /** What of the frame is not in it, a sentence each. */
  readonly left: readonly string[];
}

/**
 * What a frame shows, as the parts of a look: all lights out first, then those that are lit, alike ones together. Haze, strobes and what turns by itself are
 * left out, for they need a person. Where the cells of a bar are of unlike brightness it is as bright as the brightest.
 * @param fixtures those that the frame tells of; the look leaves others as they are
 * @returns no parts but the darkness where no lamp is lit
 */
export function takenLook(show: Show, rig: Rig, frame: Frame, fixtures: readonly RigFixture[] = rig.fixtures): Taken {
  const reader = new Reader(show, rig, frame);
  const alike = new Map<string, { readonly part: Omit<Part, 'who'>; readonly lamps: string[] }>();
  for (const fixture of fixtures) {
    const part = reader.partOf(fixture);
    if (part === undefined) continue;
    const key = JSON.stringify(part);
    const known = alike.get(key) ?? { part, lamps: [] };
    known.lamps.push(fixture.id);
    alike.set(key, known);
  }
  const lit = [...alike.values()].map(({ part, lamps }): Part => ({ ...part, who: whoIs(lamps, show) }));
  const told = whoIs(
    fixtures.map(({ id }) => id),
    show,
  );
  const nameOf = (id: string): string => show.fixtures.find((one) => one.id === id)?.name ?? id;
  const uneven =
    reader.uneven.length === 0
      ? []
      : [
          `The parts of ${named(reader.uneven, nameOf)} are not equally bright: in the look they are all as bright as the brightest.`,
        ];
  return {
    parts: told.length === 0 ? [] : [{ who: told, brightness: 'best', level: 0 }, ...lit],
    left: [...leftOut(rig, frame, fixtures, nameOf), ...uneven],
  };
}

class Reader {
  /** Fixtures whose lit parts are of unlike brightness. */
  readonly uneven: string[] = [];
  readonly #rig: Rig;
  readonly #frame: Frame;
  readonly #colours: Colours;
  readonly #lamps = new LampColours();
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
    const behind = shut ? 0 : this.#dimmed(whole);
    const given = lamps.length > 1 ? own.slice(1) : own;
    const brightest = Math.max(...given.map(({ light: one }) => one));
    const others = this.#others(whole);
    const glows = (others.uv ?? 0) > 0;
    // UV alone behind a dimmer: that stays open, and the other emitters are black.
    const light = brightest === 0 && glows && whole.hasDimmer ? behind : behind * brightest;
    if (light < DARK && !glows) return undefined;
    if (given.some(({ light: one, colour }) => colour !== BLACK && Math.abs(levelFor(one) - levelFor(brightest)) > UNEVEN))
      this.uneven.push(fixture.id);
    const colours = own.flatMap(({ colour }) => colour ?? []);
    const [first] = colours;
    const pan = this.#value(whole, 'Pan');
    const tilt = this.#value(whole, 'Tilt');
    return {
      brightness: 'best',
      level: rounded(clampLevel(levelFor(light)), 4),
      ...(first === undefined ? {} : { colour: colours.every((one) => one === first) ? first : colours }),
      ...(pan === undefined || tilt === undefined ? {} : { aim: { pan: rounded(pan, 2), tilt: rounded(tilt, 2) } }),
      ...(this.#value(whole, 'AimRests') === 1 ? { focus: true } : {}),
      ...others,
    };
  }

  /** What a lamp gives of its light behind the dimmer of the whole, and in which colour. */
  #lampOf(lamp: Lamp, fixture: RigFixture): { readonly light: number; readonly colour?: string } {
    const dimmed = lamp.part > 0 ? this.#dimmed(lamp) : 1;
    const at = lamp.cells.get('ColourL');
    if (at === undefined || lamp.emitters.length === 0) return { light: dimmed };
    const driven = this.#driven(lamp, fixture);
    if (driven === undefined) oklabToXyz(this.#frame, at, this.#xyz);
    const [X, Y, Z] = driven ?? (this.#xyz as unknown as Triple);
    const sum = X + Y + Z;
    if (!(sum > 0) || Y <= 0) return { light: 0, colour: BLACK };
    const xy = [X / sum, Y / sum] as const;
    const text = this.#theme.find((one) => Math.hypot(one.at[0] - xy[0], one.at[1] - xy[1]) < SAME)?.text;
    const colour = text ?? `xy ${xy.map((one) => one.toFixed(4)).join(' ')}`;
    const read = this.#colours.read(colour);
    if (read === undefined) return { light: dimmed };
    // Oklab of one chromaticity goes with the cube root of light.
    const [full] = this.#colours.worn(read, fixture, lamp, Number.POSITIVE_INFINITY);
    const given = driven === undefined ? (this.#frame[at] as number) : xyzToOklab(driven)[0];
    const share = full > 0 ? (given / full) ** 3 : 1;
    // A lamp that is dimmed by its emitters and held back gives as much of what it may.
    const most = driven === undefined || lamp.hasDimmer ? 1 : (fixture.adjust.dim ?? 1);
    return { light: dimmed * clampLevel(share / most), colour };
  }

  /** What its dimmer lets through. Emitters that are driven have their say past one that is no channel. */
  #dimmed(lamp: Lamp): number {
    return !lamp.hasDimmer && this.#isDriven(lamp) ? 1 : lightAt(this.#value(lamp, 'Dimmer') ?? 1);
  }

  #isDriven({ emitters, cells }: Lamp): boolean {
    return emitters.some((name) => (this.#frame[cells.get(name) as number] as number) >= 0);
  }

  /** CIE XYZ of a lamp whose emitters are driven directly, by hand or by another controller; Y is 1 with all of them at full. */
  #driven(lamp: Lamp, fixture: RigFixture): Triple | undefined {
    if (!this.#isDriven(lamp)) return undefined;
    const levels = lamp.emitters.map((name) => Math.max(0, this.#value(lamp, name) ?? 0));
    return this.#lamps.of(fixture, lamp.emitters).light(levels);
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
