import { type AttributeName, attribute, colourCells } from '../../node/core/attributes.ts';
import { parseColour } from '../../node/light/colour-value.ts';
import { LampColour, type Reach } from '../../node/light/lamp-colour.ts';
import { chromaticityOf, type Theme } from '../../node/light/of-value.ts';
import { beatAt, type PlayState, weightOf } from '../../node/playback/state.ts';
import { brightnessOf } from '../../node/rig/brightness.ts';
import type { Lamp, RigFixture } from '../../node/rig/rig.ts';
import type { Angles, Chase, Movement, Part, Show } from '../../node/show/document.ts';

/**
 * What plays, drawn as the words of `show/document.ts` and of the design say it, one value at a time: slowly, without
 * programs and without arrays of cells. What the node draws is held against it.
 */
export class SlowDrawing {
  readonly #show: Show;
  readonly #fixtures: readonly RigFixture[];

  /** `fixtures`: the lamps of the show with their attributes. How a rig is laid out is not in question here. */
  constructor(show: Show, fixtures: readonly RigFixture[]) {
    this.#show = show;
    this.#fixtures = fixtures;
  }

  value(lamp: Lamp, name: AttributeName, state: PlayState, now: number): number {
    let value: number = attribute(name).rest;
    // What light is like goes by its share of the light: of this lamp, or of the whole that it is a part of.
    const dimming =
      ['oklab', 'slot'].includes(attribute(name).unit) || /^(ColorSub_|CTO$)/.test(name) ? this.#dimmingOf(lamp) : undefined;
    for (const [place, entry] of state.entries.entries()) {
      const levelAfter = (entries: number) =>
        dimming === undefined ? 0 : this.value(dimming, 'Dimmer', { ...state, entries: state.entries.slice(0, entries) }, now);
      const light = dimming === undefined ? undefined : { dimming, below: levelAfter(place), after: levelAfter(place + 1) };
      const weight = weightOf(entry, now);
      const [kind, id = ''] = entry.item.split(':');
      const stretch = (of: { seconds: number } | { beats: number }) =>
        'beats' in of
          ? { length: of.beats, at: beatAt(state.tempo, now) - entry.startBeat }
          : { length: of.seconds * 1000, at: now - entry.startedAt };
      const find = <One extends { id: string }>(rows: readonly One[]): One => {
        const found = rows.find((one) => one.id === id);
        if (found === undefined) throw new Error(`no ${entry.item}`);
        return found;
      };
      if (kind === 'look' || kind === 'hit') {
        const { parts } = find<{ id: string; parts: readonly Part[] }>(kind === 'look' ? this.#show.looks : this.#show.hits);
        const level = light && this.#asked(parts, parts, light.dimming, 'Dimmer');
        value = laid(name, value, this.#asked(parts, parts, lamp, name), shareOf(weight, level, light));
      }
      if (kind === 'chase') value = this.#chased(find(this.#show.chases), lamp, name, value, weight, stretch, light);
      if (kind === 'movement') value = this.#moved(find(this.#show.movements), lamp, name, value, weight, stretch);
    }
    return value;
  }

  /** Each step comes over from the one before in its fade; the very first from nowhere. What a step does not name shows through. */
  #chased(
    { steps }: Chase,
    lamp: Lamp,
    name: AttributeName,
    below: number,
    weight: number,
    stretch: Stretch,
    light?: Light,
  ): number {
    const all = steps.flatMap(({ parts }) => parts);
    const round = steps.reduce((sum, { length }) => sum + stretch(length).length, 0);
    const at = Math.max(0, stretch(steps[0]?.length ?? { beats: 1 }).at);
    let since = at % round;
    let now = 0;
    for (const [i, { length }] of steps.entries()) {
      now = i;
      if (since < stretch(length).length) break;
      if (i < steps.length - 1) since -= stretch(length).length;
    }
    const step = steps[now];
    const before = steps[(now + steps.length - 1) % steps.length];
    if (step === undefined || before === undefined) throw new Error('no step');
    const isFirst = now === 0 && at < stretch(step.length).length;
    const fade = step.fade * stretch(step.length).length;
    const come = isFirst || since >= fade ? 1 : since / fade;
    const value = this.#asked(step.parts, all, lamp, name);
    const old = come < 1 ? this.#asked(before.parts, all, lamp, name) : undefined;
    const level = light && this.#asked(step.parts, all, light.dimming, 'Dimmer');
    const oldLevel = light && this.#asked(before.parts, all, light.dimming, 'Dimmer');
    if (value === undefined) return laid(name, below, old, shareOf(weight * (1 - come), oldLevel, light));
    if (old === undefined) return laid(name, below, value, shareOf(weight * come, level, light));
    const [comes, goes] = [come * (level ?? light?.below ?? 0), (1 - come) * (oldLevel ?? light?.below ?? 0)];
    const share = light !== undefined && comes + goes > 0 ? comes / (comes + goes) : come;
    const between = attribute(name).change === 'fade' ? value * share + old * (1 - share) : share >= 0.5 ? value : old;
    return laid(name, below, between, shareOf(weight, comes + goes, light));
  }

  /** Figures: x = A cos wt, y = A sin wt; x = A sin wt, y = A sin 2wt; x = A sin wt; and the drift of four waves. */
  #moved(of: Movement, lamp: Lamp, name: AttributeName, below: number, weight: number, stretch: Stretch): number {
    const heads = this.#meant(of.who)
      .map(({ lamps: [whole] }) => whole)
      .filter(({ cells }) => cells.has('Pan') && cells.has('Tilt'));
    const place = heads.indexOf(lamp);
    if (place < 0 || (name !== 'Pan' && name !== 'Tilt')) return below;
    const { at, length } = stretch(of.period);
    const turns = at / length + (of.spread * place) / heads.length;
    const wave = (often: number, turned = 0): number => Math.sin(2 * Math.PI * (turns * often) + turned);
    const quarter = Math.PI / 2;
    const [pan, tilt] = {
      circle: [wave(1, quarter), wave(1)],
      eight: [wave(1), wave(2)],
      sweep: [wave(1), 0],
      drift: [0.6 * wave(1) + 0.4 * wave(0.382), 0.6 * wave(Math.SQRT1_2, quarter) + 0.4 * wave(0.271)],
      'cross-over': [wave(1) * (place % 2 === 1 && !of.mirror ? -1 : 1), 0],
      fan: [((1 - wave(1, quarter)) / 2) * (heads.length < 2 ? 0 : (2 * place) / (heads.length - 1) - 1), 0],
    }[of.figure] as [number, number];
    const side = of.mirror && place % 2 === 1 ? -1 : 1;
    const aim = of.aim as Angles | undefined;
    const size = of.size as Extract<Movement['size'], { pan: number }>;
    const centre = aim === undefined ? below : name === 'Pan' ? aim.pan : aim.tilt;
    // It comes and goes softly.
    const come = weight * weight * (3 - 2 * weight);
    return laid(name, below, centre + (name === 'Pan' ? pan * size.pan * side : tilt * size.tilt), come);
  }

  #dimmingOf(lamp: Lamp): Lamp | undefined {
    const whole = this.#fixtures.find(({ lamps }) => lamps.includes(lamp))?.lamps[0];
    return [lamp, whole].find((one) => one?.cells.has('Dimmer'));
  }

  /** The last part that has something to say stands. */
  #asked(parts: readonly Part[], among: readonly Part[], lamp: Lamp, name: AttributeName): number | undefined {
    if (!lamp.cells.has(name)) return undefined;
    return parts.map((part) => this.#askedBy(part, among, lamp, name)).findLast((value) => value !== undefined);
  }

  #askedBy(part: Part, among: readonly Part[], lamp: Lamp, name: AttributeName): number | undefined {
    const fixture = this.#meant(part.who).find(({ lamps }) => lamps.includes(lamp));
    if (fixture === undefined) return undefined;
    const direct = (part.attributes as Partial<Record<AttributeName, number>> | undefined)?.[name];
    if (direct !== undefined) return direct;
    const colour = this.#colourOn(part, lamp);
    if (colour !== undefined && name === 'Color1') return this.#nearestSlot(colour, fixture);
    const coordinate = (colourCells as readonly AttributeName[]).indexOf(name);
    if (coordinate >= 0) return colour === undefined ? undefined : this.#worn(colour, part, among, fixture, lamp)[coordinate];
    const opened = lamp.part > 0 && fixture.lamps[0].cells.has('Dimmer') && part.level !== undefined;
    return {
      Dimmer: this.#dimmed(opened ? 1 : part.level, colour, part, among, fixture, lamp),
      Gobo1: part.gobo,
      Zoom: part.zoom,
      ColorAdd_UV: part.uv,
      Shutter1Strobe: part.strobe,
      Haze1: part.haze,
      Fog1: lamp.cells.has('Haze1') ? undefined : part.haze,
      Fan1: part.fan,
      Pan: (part.aim as Angles | undefined)?.pan,
      Tilt: (part.aim as Angles | undefined)?.tilt,
    }[name as string];
  }

  /** Colours are dealt out in turn over the lamps that can wear one, in the order of the patch. */
  #colourOn({ who, colour }: Part, lamp: Lamp): string | undefined {
    const colours = colour === undefined ? [] : [colour].flat();
    const place = this.#meant(who).flatMap(wearing).indexOf(lamp);
    return place < 0 ? undefined : colours[place % colours.length];
  }

  /** As bright as the lamp can, or as the weakest of all lamps that are to match in the whole item; black is no light. */
  #worn(text: string, part: Part, among: readonly Part[], fixture: RigFixture, lamp: Lamp): readonly number[] {
    const reach = this.#reach(text, fixture, lamp);
    if (reach === undefined) return [0, 0, 0];
    const share = Math.cbrt(this.#share(text, part, among, fixture, lamp));
    return reach.oklab.map((one) => one * share);
  }

  /** What has no emitters is dimmed in their stead, where the part names a level. CIE 15:2004, 8.2.1.1: L* of a share of the light. */
  #dimmed(
    level: number | undefined,
    colour: string | undefined,
    part: Part,
    among: readonly Part[],
    fixture: RigFixture,
    lamp: Lamp,
  ): number | undefined {
    if (level === undefined || colour === undefined || lamp.emitters.length > 0) return level;
    const share = this.#share(colour, part, among, fixture, lamp);
    if (share === 1) return level;
    const lightness = 100 * level;
    const light = share * (lightness > 8 ? ((lightness + 16) / 116) ** 3 : lightness / (24389 / 27));
    return (light > 216 / 24389 ? 116 * Math.cbrt(light) - 16 : light * (24389 / 27)) / 100;
  }

  /** Share of its light that a lamp keeps. No lamp goes below a tenth of what it can for the sake of a weaker one. */
  #share(text: string, part: Part, among: readonly Part[], fixture: RigFixture, lamp: Lamp): number {
    if (part.brightness === 'best') return 1;
    const matched = among
      .filter(({ brightness }) => brightness === 'match')
      .flatMap((one) =>
        this.#meant(one.who).flatMap((of) =>
          of.lamps.map((other) => {
            const colour = this.#colourOn(one, other);
            return colour === undefined ? Number.POSITIVE_INFINITY : this.#candela(colour, of, other);
          }),
        ),
      );
    const own = this.#candela(text, fixture, lamp);
    return own === Number.POSITIVE_INFINITY ? 1 : Math.max(0.1, Math.min(1, Math.min(...matched) / own));
  }

  /** By what the type tells of its light, or what is usual of its kind, shared out over its parts. */
  #candela(text: string, fixture: RigFixture, lamp: Lamp): number {
    if (lamp.emitters.length === 0) {
      const value = parseColour(text);
      const isBlack = value === undefined || chromaticityOf(value, this.#theme) === undefined;
      if (isBlack || !lamp.cells.has('Dimmer') || lamp.cells.has('ColorAdd_UV')) return Number.POSITIVE_INFINITY;
      const through = this.#through(text, fixture, lamp);
      return through > 0 ? brightnessOf(fixture, lamp, 0).candela * through : Number.POSITIVE_INFINITY;
    }
    const reach = this.#reach(text, fixture, lamp);
    if (reach === undefined || reach.luminance === 0) return Number.POSITIVE_INFINITY;
    const { told } = new LampColour(lamp.emitters, fixture.type.emitters, fixture.adjust.trim);
    return (brightnessOf(fixture, lamp, told).candela * reach.luminance) / told;
  }

  #reach(text: string, { type, adjust }: RigFixture, { emitters }: Lamp): Reach | undefined {
    const colour = parseColour(text);
    const at = colour === undefined ? undefined : chromaticityOf(colour, this.#theme);
    if (at === undefined) return undefined;
    const key = JSON.stringify([type.id, adjust.trim, emitters, at]);
    const known = reaches.get(key) ?? new LampColour(emitters, type.emitters, adjust.trim).reach(...at);
    reaches.set(key, known);
    return known;
  }

  /** By the distance in u′v′ (CIE 15:2004) beside the white that both are told in. */
  #nearestSlot(text: string, { type }: RigFixture): number | undefined {
    const look = (of: string) => {
      const value = parseColour(of);
      const [x, y] = (value === undefined ? undefined : chromaticityOf(value, this.#theme)) ?? [Number.NaN, Number.NaN];
      return [(4 * x) / (3 - 2 * x + 12 * y), (9 * y) / (3 - 2 * x + 12 * y)];
    };
    const wanted = look(text);
    const distances = (type.wheels.Color1 ?? []).map(({ colour }) =>
      colour === undefined ? Number.POSITIVE_INFINITY : Math.hypot(...look(colour).map((one, i) => one - (wanted[i] ?? 0))),
    );
    const least = Math.min(...distances);
    return Number.isFinite(least) ? distances.indexOf(least) + 1 : undefined;
  }

  /** Y of what the filter in a wheel lets through of white (IEC 61966-2-1). */
  #through(text: string, fixture: RigFixture, lamp: Lamp): number {
    const slot = lamp.cells.has('Color1') ? this.#nearestSlot(text, fixture) : undefined;
    const filter = slot === undefined ? undefined : fixture.type.wheels.Color1?.[slot - 1]?.colour;
    const value = filter === undefined ? undefined : parseColour(filter);
    if (value?.kind !== 'srgb') return 1;
    const linear = (part: number): number => (part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4);
    return 0.21263901 * linear(value.red) + 0.71516868 * linear(value.green) + 0.07219232 * linear(value.blue);
  }

  #meant(who: Part['who']): readonly RigFixture[] {
    return this.#fixtures.filter(({ id, use }) =>
      who.some((one) => {
        if ('all' in one) return true;
        if ('fixture' in one) return one.fixture === id;
        if ('use' in one) return one.use === use;
        return this.#show.groups.some((group) => group.id === one.group && group.fixtures.includes(id));
      }),
    );
  }

  readonly #theme: Theme = (id) =>
    parseColour(this.#show.theme.colours.find((one) => one.id === id)?.value ?? '') ?? { kind: 'kelvin', kelvin: 3000 };
}

/** The one thing that is remembered: what a lamp makes of a colour, by all that it depends on. */
const reaches = new Map<string, Reach>();

type Stretch = (of: { seconds: number } | { beats: number }) => { length: number; at: number };

/** A lamp that has the level of a light, and that level before and after something is laid over it. */
interface Light {
  readonly dimming: Lamp;
  readonly below: number;
  readonly after: number;
}

/** How much of the light comes from what is laid over with a weight, at its own level or at the one that is there. */
const shareOf = (weight: number, level: number | undefined, light: Light | undefined): number =>
  light === undefined || weight >= 1 || light.after <= 0 ? weight : (weight * (level ?? light.below)) / light.after;

/** Covers what lies below by its weight; where there is nothing between, from half of it on. */
function laid(name: AttributeName, below: number, value: number | undefined, weight: number): number {
  if (value === undefined) return below;
  if (attribute(name).change === 'snap') return weight >= 0.5 ? value : below;
  return below * (1 - weight) + value * weight;
}

/** Lamps of a fixture that mix a colour or turn a wheel; one that can do neither takes its turn as a whole. */
const wearing = ({ lamps }: RigFixture): readonly Lamp[] =>
  lamps.filter(({ emitters, cells, part }) => emitters.length > 0 || cells.has('Color1') || (part === 0 && lamps.length === 1));
