import { Levels } from '../core/levels.ts';
import type { Band } from '../core/remote.ts';
import type { Level, Millis } from '../core/units.ts';
import { membersOf } from '../playback/bit-set.ts';
import { type CompiledShow, compileShow } from '../playback/compile.ts';
import { freshState } from '../playback/reduce.ts';
import { start } from '../playback/stack.ts';
import { type PlayState, steady } from '../playback/state.ts';
import { Picture } from '../rig/picture.ts';
import type { ItemKey, Show } from '../show/document.ts';
import { bandOf, type Use } from '../show/surfaces.ts';
import { Pipeline } from './pipeline.ts';

/** What is on in the room, as far as whoever looks on is told of it. */
export interface OnNow {
  /** Oldest first. */
  readonly playing: readonly { readonly item: string; readonly startedAt: Millis }[];
  readonly masters: { readonly all: Level; readonly groups: Readonly<Record<string, Level>> };
  readonly blackout: boolean;
  readonly bpm: number;
  readonly lasers?: 'closed' | 'armed';
}

/** Lamps as a picture of the room has them, in the order of the patch. */
export interface PreviewLamp {
  readonly id: string;
  readonly band: Band;
  readonly use: string;
  readonly head?: true;
}

export interface PreviewFrame {
  /** Packed 0xRRGGBB of every fixture; pan and tilt of every head. */
  readonly colours: readonly number[];
  readonly aims: readonly number[];
}

/** Lights what the one thing to be seen leaves to what plays below it, else nothing would be seen of a movement. No show can name a look so. */
const LIT_BELOW = '*lit-below';
const LIT: Level = 0.7;

/**
 * A show as it would look, drawn apart from the lights by the code that lights the room: one thing of it alone, or what is on in the room with
 * what was changed of it since. Guards act as in the room.
 */
export class Preview {
  #show: Show | undefined;
  #compiled: CompiledShow | undefined;
  #built: { readonly of: CompiledShow; readonly pipeline: Pipeline; readonly picture: Picture } | undefined;
  #state: PlayState | undefined;
  #open: ItemKey | undefined;
  #on: OnNow | undefined;
  /** Since when the open thing is seen: a chase is not begun anew by every change of it. */
  #since: Millis | undefined;

  /**
   * Draws this from now on.
   * @returns whether it can be drawn; where it cannot, the last state that could stays
   */
  take(show: Show): boolean {
    const before = this.#show;
    this.#show = show;
    try {
      this.#compile();
      return true;
    } catch {
      // A lamp without an address, or of a type that is not there: what is only missing keeps nothing else from being seen.
      this.#show = before;
      return false;
    }
  }

  /** Shows one thing alone at full masters, or without one what is on. */
  watch(open: ItemKey | undefined, on: OnNow | undefined): void {
    if (open !== this.#open) this.#since = undefined;
    this.#open = open;
    this.#on = on;
    this.#compile();
  }

  /** The lamps of what is drawn; changes only with what was taken. */
  get lamps(): readonly PreviewLamp[] {
    return (
      this.#compiled?.rig.fixtures.map(({ id, use, lamps: [{ cells }] }) => ({
        id,
        band: bandOf(use as Use),
        use,
        ...(cells.has('Pan') && cells.has('Tilt') ? { head: true as const } : {}),
      })) ?? []
    );
  }

  /** Undefined before there is anything to draw. @param now never less than before */
  draw(now: Millis): PreviewFrame | undefined {
    const compiled = this.#compiled;
    if (compiled === undefined) return undefined;
    if (this.#built?.of !== compiled) {
      const levels = new Levels(compiled.rig.universes);
      this.#built = { of: compiled, pipeline: Pipeline.for(compiled, levels), picture: new Picture(compiled.rig) };
    }
    this.#since ??= now;
    this.#state ??= this.#stateAt(compiled, now, this.#since);
    const { pipeline, picture } = this.#built;
    pipeline.run(this.#state, now);
    return { colours: picture.colours(pipeline.frame), aims: picture.aims(pipeline.frame) };
  }

  #compile(): void {
    const show = this.#show;
    if (show === undefined) return;
    const compiled = compileShow(show, this.#compiled);
    const dark = this.#unlit(compiled);
    this.#compiled = dark.length === 0 ? compiled : compileShow(withLight(show, dark), compiled);
    // What is on goes on in phase: it is counted from when it started.
    this.#state = undefined;
  }

  /** Fixtures of the open thing whose brightness it leaves to what plays below it. */
  #unlit({ items, rig }: CompiledShow): string[] {
    const item = this.#open === undefined ? undefined : items.get(this.#open);
    if (item === undefined) return [];
    const named = new Set(item.program.touches);
    return [...membersOf(item.fixtures)].flatMap((place) => {
      const fixture = rig.fixtures[place];
      const leaves = fixture?.lamps.some(({ cells }) => !named.has(cells.get('Dimmer') ?? -1));
      return fixture !== undefined && leaves === true ? [fixture.id] : [];
    });
  }

  #stateAt(compiled: CompiledShow, now: Millis, since: Millis): PlayState {
    const empty = freshState({ ...compiled, start: [] }, now);
    const open = this.#open;
    if (open !== undefined && compiled.items.has(open)) {
      const below = `look:${LIT_BELOW}` as const;
      const tempo = { ...empty.tempo, at: since };
      const full = { ...empty, all: steady(1, now), groups: {}, tempo, lasers: { at: since } };
      const on = start(compiled, start(compiled, full, below, undefined, since), open, undefined, since);
      // It has come already.
      return { ...on, entries: on.entries.map((entry) => ({ ...entry, rise: steady(1, since) })) };
    }
    const on = this.#on;
    if (on === undefined) return freshState(compiled, now);
    const groups = Object.fromEntries(Object.entries(on.masters.groups).map(([id, level]) => [id, steady(level, now)]));
    const tempo = { bpm: on.bpm, at: 0, beat: 0, ahead: 0 };
    const lasers = on.lasers === 'armed' ? { lasers: { at: now } } : {};
    const state = { ...empty, all: steady(on.masters.all, now), groups, blackout: on.blackout, tempo, ...lasers };
    return on.playing.reduce((after, { item, startedAt }) => start(compiled, after, item as ItemKey, undefined, startedAt), state);
  }
}

function withLight(show: Show, fixtures: readonly string[]): Show {
  const light: Show['looks'][number] = {
    id: LIT_BELOW,
    order: '',
    name: 'Light',
    fade: 0,
    stay: false,
    unattended: true,
    parts: [{ who: fixtures.map((fixture) => ({ fixture })), level: LIT, brightness: 'best' }],
  };
  return { ...show, looks: [...show.looks, light] };
}
