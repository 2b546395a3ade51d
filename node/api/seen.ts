import { attribute } from '../core/attributes.ts';
import type { Frame } from '../core/frame.ts';
import { own } from '../core/own.ts';
import type { Millis } from '../core/units.ts';
import { listed } from '../core/words.ts';
import type { EngineReport } from '../engine/messages.ts';
import { ColourNames } from '../light/colour-names.ts';
import { levelFor } from '../light/lightness.ts';
import { toLinear } from '../light/oklab.ts';
import { type CompiledShow, groupOfUse } from '../playback/compile.ts';
import { isAway, isOver, levelOf, type PlayState } from '../playback/state.ts';
import { cellsOf } from '../rig/rig.ts';
import { bandOf, type Use } from '../show/surfaces.ts';
import type { Seen, SeenPart } from './contract.ts';
import { closedWords, heldWords, sayHeld } from './held-words.ts';
import { Hints } from './hints.ts';
import { nameOfUse, themeOf } from './show-words.ts';
import { type Outlook, troublesOf } from './troubles.ts';

/** What changed within this time changes: a beat of a slow dance, so that a step of it is not read as standing still. */
const LATELY: Millis = 2000;
/** Of what changes all the colours of so long are named. */
const ROUND: Millis = 10_000;
/** Steps of 255 by which a colour must differ, and degrees by which a head must have turned, to have changed. */
const COLOUR_STEP = 20;
const TURN_STEP = 1.5;
/** A look at the light may come so long after its last step of a fade. */
const LOOKED_WITHIN: Millis = 250;
/** Names of colours that fit a line. */
const MOST_NAMED = 3;
/** Shares of full, as the eye sees them. */
const FAINT = 0.2;
const LOW = 0.5;

/** What else must be known to say what is seen. */
interface Told {
  readonly state: PlayState;
  /** Undefined while the engine has not yet said how it fares. */
  readonly report: Pick<EngineReport, 'outputs' | 'unsent' | 'guards'> | undefined;
  readonly now: Millis;
}

/** What is remembered of a fixture, to tell what changes. */
interface Watched {
  readonly use: Use;
  readonly angles: readonly number[];
  colour: number;
  changedAt: Millis;
  turned: readonly number[];
  turnedAt: Millis;
  /** When it last gave each colour, by its name. */
  readonly named: Map<string, Millis>;
}

/**
 * What guests see, in words, from the colours that the picture shows and the guarded frame that they were worked out from: never from what
 * was asked for.
 */
export class Seeing {
  readonly #show: CompiledShow;
  readonly #names: ColourNames;
  readonly #fixtures: readonly Watched[];
  readonly #parts: readonly { readonly use: Use; readonly name: string; readonly fixtures: readonly number[] }[];
  readonly #haze: readonly number[];
  readonly #beams: readonly number[];
  readonly #warming: readonly { readonly name: string; readonly minutes: number; readonly cells: readonly number[] }[];
  /** They outlive a show that is edited. */
  readonly hints: Hints;
  #watchedAt = Number.NEGATIVE_INFINITY;

  constructor(compiled: CompiledShow, hints = new Hints()) {
    const { show, rig } = compiled;
    this.#show = compiled;
    this.#names = new ColourNames(themeOf(show));
    this.#fixtures = show.fixtures.map(({ use }, place) => ({
      use,
      angles:
        rig.fixtures[place]?.lamps.flatMap(({ cells }) => ['Pan', 'Tilt'].flatMap((axis) => cells.get(axis as 'Pan') ?? [])) ?? [],
      colour: 0,
      changedAt: Number.NEGATIVE_INFINITY,
      turned: [],
      turnedAt: Number.NEGATIVE_INFINITY,
      named: new Map(),
    }));
    const uses = [...new Set(show.fixtures.map(({ use }) => use))].filter((use) => use !== 'haze');
    const order = ['walls', 'ceiling', 'floor', 'air'];
    this.#parts = uses
      .map((use) => ({
        use,
        name: nameOfUse(use, show),
        fixtures: show.fixtures.flatMap((one, place) => (one.use === use ? [place] : [])),
      }))
      .sort((a, b) => order.indexOf(bandOf(a.use)) - order.indexOf(bandOf(b.use)));
    this.hints = hints;
    this.#beams = show.fixtures.flatMap(({ use }, place) => (use === 'beam' ? [place] : []));
    this.#warming = rig.fixtures.flatMap((fixture, place) => {
      const { warmUp: minutes } = fixture.type;
      const cells = cellsOf(fixture).flatMap(([name, cell]) => (attribute(name).hazes === true ? [cell] : []));
      return minutes === undefined ? [] : [{ name: show.fixtures[place]?.name ?? fixture.id, minutes, cells }];
    });
    this.#haze = rig.attributeOf.flatMap((name, cell) => (attribute(name).hazes === true ? [cell] : []));
  }

  /** Takes a frame in, with the colours that the picture shows of it. To be called several times a second. */
  watch(frame: Frame, colours: readonly number[], now: Millis): void {
    // After a while without a look nobody knows when it became another.
    const anew = now - this.#watchedAt > LATELY;
    this.#watchedAt = now;
    this.#fixtures.forEach((one, place) => {
      const colour = colours[place] ?? 0;
      if (apart(colour, one.colour) > COLOUR_STEP) {
        // From or to darkness is no change of a colour that is seen.
        if (!anew) one.changedAt = now;
        one.colour = colour;
      }
      if (colour !== 0) one.named.set(this.#names.nameOf(colour), now);
      const angles = one.angles.map((cell) => frame[cell] ?? 0);
      if (anew) one.turned = angles;
      else if (angles.some((angle, i) => Math.abs(angle - (one.turned[i] ?? 0)) > TURN_STEP)) {
        one.turned = angles;
        one.turnedAt = now;
      }
    });
  }

  /** What is seen now. @param flashes whether a fixture strobes, by its place in the patch */
  tell(frame: Frame, colours: readonly number[], flashes: (place: number) => boolean, told: Told): Seen {
    const { state, report, now } = told;
    const parts = this.#parts.flatMap(({ use, name, fixtures }) => this.#part(use, name, fixtures, colours, flashes, told));
    const flows = (cell: number): boolean => (frame[cell] ?? 0) > 0;
    const haze = this.#haze.some(flows);
    const looked = {
      beams: this.#beams.some((place) => (colours[place] ?? 0) !== 0),
      haze: this.#haze.length === 0 ? undefined : haze,
      warming: this.#warming.filter(({ cells }) => cells.some(flows)),
    };
    const all = levelOf(state.all, now);
    const sentences = [
      ...together(parts),
      ...(haze ? ['Haze'] : []),
      ...(parts.length > 0 && all < 1 ? [`All lights at ${Math.round(all * 100)} %`] : []),
    ];
    const dark = parts.length === 0;
    const line = dark ? [this.#darkInWords(state, now), ...(haze ? ['Haze'] : [])] : sentences;
    return {
      type: 'seen',
      line: `${line.join('. ')}.`,
      dark,
      parts,
      sent: sentOf(report),
      held: [...this.#pulledDown(state, now), ...this.#heldInWords(heldWords, told)],
      closed: this.#heldInWords(closedWords, told),
      hints: this.hints.tell(looked, now),
    };
  }

  #part(
    use: Use,
    name: string,
    fixtures: readonly number[],
    colours: readonly number[],
    flashes: (place: number) => boolean,
    { state, now }: Told,
  ): SeenPart[] {
    const fading = isFading(state, now);
    // What changed on the way of a fade that has come stands now.
    const since = fading ? now - LATELY : Math.max(now - LATELY, lastFade(state, now) + LOOKED_WITHIN);
    const lit = fixtures.filter((place) => (colours[place] ?? 0) !== 0);
    const own = fixtures.map((place) => this.#fixtures[place] as Watched);
    const changes = own.some(({ changedAt }) => changedAt > since);
    // Between two steps of a chase all may be dark for a moment.
    if (lit.length === 0 && !(changes && own.some(({ named }) => [...named.values()].some((at) => now - at < LATELY / 4))))
      return [];
    // What goes round names all of its round; what stands, or comes, what it is just now.
    const named = Math.max(changes && !fading ? now - ROUND : now - LATELY / 2, Math.min(lastFade(state, now), now - LATELY / 2));
    const moves = own.some(({ turnedAt }, i) => now - turnedAt < LATELY && (colours[fixtures[i] ?? 0] ?? 0) !== 0);
    const strobes = fixtures.some(flashes);
    const levels = lit.map((place) => levelOfColour(colours[place] ?? 0));
    const level = levels.reduce((sum, one) => sum + one, 0) / Math.max(1, levels.length);
    const words = [
      `${!changes && lit.length * 4 < fixtures.length * 3 ? 'partly ' : ''}${this.#coloursOf(own, named, changes)}`,
      ...(changes || level >= LOW ? [] : [level < FAINT ? 'faint' : 'low']),
      ...(moves ? ['moving'] : []),
      ...(strobes ? ['flashing'] : changes ? [fading ? 'fading' : 'changing'] : []),
    ].join(', ');
    return [{ use, name, words, lit: lit.length, of: fixtures.length, moves, changes: changes || strobes }];
  }

  /** The colours that they have given since then: most of them first, or, so that a sentence about what changes stands still, by name. */
  #coloursOf(own: readonly Watched[], since: Millis, changes: boolean): string {
    const counts = new Map<string, number>();
    for (const { named } of own) for (const [name, at] of named) if (at > since) counts.set(name, (counts.get(name) ?? 0) + 1);
    const byName = (a: string, b: string): number => (a < b ? -1 : 1);
    const names = [...counts].sort(([a, m], [b, n]) => (changes ? 0 : n - m) || byName(a, b)).map(([name]) => name);
    return listed(names.length > MOST_NAMED ? [...names.slice(0, MOST_NAMED), 'more'] : names);
  }

  #heldInWords(words: typeof heldWords, { report, state }: Told): string[] {
    const name = (place: number): string[] => [this.#show.show.fixtures[place]?.name ?? []].flat();
    return (report?.guards ?? []).flatMap(({ guard, places }) => sayHeld(words, guard, places.flatMap(name), state) ?? []);
  }

  /** Levels that somebody has pulled down below where the show has them: they stay for whatever comes. */
  #pulledDown({ groups }: PlayState, now: Millis): string[] {
    const { masters } = this.#show;
    return this.#show.groups.flatMap((group) => {
      const fade = own(groups, group.id);
      const start = own(masters.groups, group.id) ?? 1;
      const level = fade === undefined ? start : levelOf(fade, now);
      return level < start ? [`${this.#nameOf(group)} pulled down to ${Math.round(level * 100)} %`] : [];
    });
  }

  /** A use is called as its light is. */
  #nameOf({ id, name }: { readonly id: string; readonly name: string }): string {
    return this.#parts.find(({ use }) => groupOfUse(use) === id)?.name ?? name;
  }

  /** Of a show without lights nothing is sent, and what lamps do then is theirs: many keep what they had last. */
  #darkInWords(state: PlayState, now: Millis): string {
    if (this.#show.show.fixtures.length > 0) return `Dark: ${this.#whyDark(state, now)}`;
    return 'This show has no lights yet, so nothing is sent; lamps that were lit may stay as they are';
  }

  #whyDark(state: PlayState, now: Millis): string {
    if (state.blackout) return 'blackout';
    if (levelOf(state.all, now) <= 0) return 'all lights are at 0 %';
    const live = state.entries.filter((entry) => !isOver(entry, now));
    if (live.length === 0) return 'nothing is on';
    if (live.every(isAway)) return 'every phone was out of reach, and what was on waits for “Resume”';
    const closed = this.#show.groups.filter(({ id }) => (own(state.groups, id)?.to ?? 1) <= 0);
    if (closed.length > 0) return `${listed(closed.map((group) => this.#nameOf(group).toLowerCase()))} at 0 %`;
    return 'what is on gives no light';
  }
}

/** What does the same is said in one sentence: "Walls and ceiling champagne". In the order of the first of each. */
function together(parts: readonly SeenPart[]): string[] {
  return [...new Set(parts.map(({ words }) => words))].map((words) => {
    const [first = '', ...others] = parts.filter((part) => part.words === words).map(({ name }) => name);
    return `${listed([first, ...others.map(inASentence)])} ${words}`;
  });
}

/** A name behind another: its capital goes, unless more than the first letter is one ("LED strip"). */
const inASentence = (name: string): string => (/^\p{Lu}\P{Lu}/u.test(name) ? name.charAt(0).toLowerCase() + name.slice(1) : name);

/** Where the light goes: undefined while the outputs have not yet said how they fare. */
export function sentOf(outlook: Outlook): Seen['sent'] {
  if (outlook === undefined) return 'unknown';
  if (outlook.outputs.every(({ state }) => state !== 'sending')) return 'nowhere';
  return troublesOf(outlook).length > 0 ? 'partly' : 'all';
}

/** When everything that fades here began and ends. */
const fadesOf = ({ entries, all, groups }: PlayState): readonly (readonly [from: Millis, until: Millis])[] => [
  ...[all, ...Object.values(groups), ...entries.flatMap(({ rise, away }) => [rise, ...(away === undefined ? [] : [away])])].map(
    ({ at, duration }) => [at, at + duration] as const,
  ),
  ...entries.flatMap(({ release }) => (release === undefined ? [] : [[release.at, release.at + release.fade] as const])),
];

/** Something is on its way. */
const isFading = (state: PlayState, now: Millis): boolean => fadesOf(state).some(([from, until]) => now >= from && now < until);

/** When the last of what faded had come. */
const lastFade = (state: PlayState, now: Millis): Millis =>
  Math.max(Number.NEGATIVE_INFINITY, ...fadesOf(state).flatMap(([from, until]) => (until <= now && until > from ? [until] : [])));

const apart = (a: number, b: number): number =>
  Math.max(Math.abs((a >> 16) - (b >> 16)), Math.abs(((a >> 8) & 255) - ((b >> 8) & 255)), Math.abs((a & 255) - (b & 255)));

/** How bright to the eye, 0..1: the level that gives so much light. */
const levelOfColour = (packed: number): number =>
  levelFor(toLinear(Math.max(packed >> 16, (packed >> 8) & 255, packed & 255) / 255));
