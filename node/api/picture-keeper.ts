import { Levels } from '../core/levels.ts';
import type { OutputSettings } from '../core/output-settings.ts';
import type { Clock } from '../core/ports.ts';
import { finish } from '../core/steps.ts';
import type { Millis } from '../core/units.ts';
import { Pipeline } from '../pipeline/pipeline.ts';
import type { CompiledShow } from '../playback/compile.ts';
import { withNobodyThere } from '../playback/picture.ts';
import { stretchesOf } from '../rig/rig.ts';
import type { LastPicture, Witness } from '../store/last-picture.ts';
import type { Store } from '../store/store.ts';
import type { Control } from './control.ts';

/** A picture of what moves by itself may be some seconds old, and the card is spared; what somebody has asked for is in it sooner. */
const EVERY: Millis = 5000;
const SOON: Millis = 1000;
/** Uses whose fixtures are off in it: nobody may be there to stop them. */
const LEFT_OUT: readonly string[] = ['haze', 'laser'];

export interface PictureParts {
  readonly control: Pick<Control, 'show' | 'state' | 'revision' | 'row'>;
  readonly clock: Clock;
  readonly store: Pick<Store, 'ask'>;
  readonly outputs: () => readonly OutputSettings[];
  /** The show file that the node was started with, by its key; empty: none. */
  readonly startedWith: string;
  /** The picture that is repeated, where every show is lost. */
  readonly repeated?: LastPicture | undefined;
}

/** Keeps on the disk what the lights show and what is on, for a start at which the store does not tell it any more. */
export class PictureKeeper {
  readonly #parts: PictureParts;
  #timer: NodeJS.Timeout | undefined;
  #soon: NodeJS.Timeout | undefined;
  /** Revision of the show that is kept beside it. */
  #revision = 0;
  /** Number of the last command that it has. */
  #number = -1;
  #kept = '';
  /** What is written down at once: whether it is dark, and of which show. */
  #urgent = '';
  /** Draws the show that plays, beside the engine. */
  #drawing: { readonly show: CompiledShow; readonly levels: Levels; readonly pipeline: Pipeline } | undefined;

  constructor(parts: PictureParts) {
    this.#parts = parts;
  }

  start(): void {
    this.#timer = setInterval(() => this.#keep(), EVERY);
  }

  stop(): void {
    clearInterval(this.#timer);
    clearTimeout(this.#soon);
  }

  /** What plays has changed: a blackout and another show are written down at once, what else somebody has asked for soon. */
  changed(): void {
    if (!this.#isKeepable()) return;
    if (this.#urgent !== this.#urgentNow()) this.#keep();
    else if (this.#number !== this.#parts.control.state.number) this.#soon ??= setTimeout(() => this.#keep(), SOON);
  }

  #isKeepable(): boolean {
    const { show, revision, row } = this.#parts.control;
    // A show that is not in the store yet has nothing to be held against.
    return show.picture !== undefined || (revision > 0 && row > 0);
  }

  #urgentNow(): string {
    const { state, show } = this.#parts.control;
    return JSON.stringify([state.blackout, show.id]);
  }

  #keep(): void {
    clearTimeout(this.#soon);
    this.#soon = undefined;
    if (!this.#isKeepable()) return;
    const { control, store } = this.#parts;
    this.#number = control.state.number;
    this.#urgent = this.#urgentNow();
    this.#keepShow();
    const universes = this.#universes();
    if (universes === undefined || universes.length === 0) return;
    const witness = this.#witness();
    const picture: LastPicture = {
      version: 2,
      outputs: [...this.#parts.outputs()],
      blackout: control.state.blackout,
      universes,
      ...(witness === undefined ? {} : { witness }),
    };
    // The time alone is nothing new.
    const text = JSON.stringify({ ...picture, witness: { ...witness, at: 0, wall: 0 } });
    if (text === this.#kept) return;
    this.#kept = text;
    // A disk that refuses is told of by what plays; the next picture tries again.
    store.ask('keepPicture', picture).catch(() => {
      this.#kept = '';
    });
  }

  /** The show itself, once a revision. */
  #keepShow(): void {
    const { control, store } = this.#parts;
    const { show, revision } = control;
    if (show.picture !== undefined || revision === this.#revision) return;
    this.#revision = revision;
    store.ask('keepLastShow', { revision, show: show.show }).catch(() => {
      this.#revision = 0;
    });
  }

  /** What is repeated already stays as it is, and what was on before it. */
  #witness(): Witness | undefined {
    const { control, clock, startedWith, repeated } = this.#parts;
    const { show, revision, row, state } = control;
    if (show.picture !== undefined) return repeated?.witness;
    const { id, name } = show.show;
    return { show: { id, name, revision }, row, at: clock.now(), wall: clock.wall(), state, startedWith };
  }

  /** Undefined where it cannot be drawn. */
  #universes(): LastPicture['universes'] | undefined {
    const { show } = this.#parts.control;
    return show.picture?.map(({ universe, slots }) => ({ universe, slots: inBase64(slots) })) ?? this.#drawn(show);
  }

  #drawn(show: CompiledShow): LastPicture['universes'] | undefined {
    const { control, clock } = this.#parts;
    if (this.#drawing?.show !== show) {
      // An edit of a look leaves the rig as it was, and with it most of what drawing needs.
      const before = this.#drawing?.show.rig === show.rig ? this.#drawing : undefined;
      const levels = before?.levels ?? new Levels(show.rig.universes);
      this.#drawing = { show, levels, pipeline: finish(Pipeline.making(show, levels, before?.pipeline)) };
    }
    const { levels, pipeline } = this.#drawing;
    pipeline.run(withNobodyThere(show, control.state), clock.now());
    if (pipeline.takeFault() !== undefined) return undefined;
    const slotsOf = new Map(levels.universes.map((universe) => [universe, levels.slots(universe)]));
    for (const [i, fixture] of show.rig.fixtures.entries()) {
      if (!LEFT_OUT.includes(show.show.fixtures[i]?.use ?? '')) continue;
      for (const { universe, address, size } of stretchesOf(fixture))
        slotsOf.get(universe)?.fill(0, address - 1, address - 1 + size);
    }
    return [...slotsOf].map(([universe, slots]) => ({ universe, slots: inBase64(slots) }));
  }
}

const inBase64 = (slots: Uint8Array): string => Buffer.from(slots).toString('base64');
