import { Levels } from '../core/levels.ts';
import type { OutputSettings } from '../core/output-settings.ts';
import type { Clock } from '../core/ports.ts';
import { finish } from '../core/steps.ts';
import type { Millis } from '../core/units.ts';
import { Pipeline } from '../pipeline/pipeline.ts';
import type { CompiledShow } from '../playback/compile.ts';
import { withNobodyThere } from '../playback/picture.ts';
import { stretchesOf } from '../rig/rig.ts';
import type { LastPicture } from '../store/last-picture.ts';
import type { Store } from '../store/store.ts';
import type { Control } from './control.ts';

/** A picture that is some seconds old serves as well; the card is spared. */
const EVERY: Millis = 5000;
/** Uses whose fixtures are off in it: nobody may be there to stop them. */
const LEFT_OUT: readonly string[] = ['haze', 'laser'];

export interface PictureParts {
  readonly control: Pick<Control, 'show' | 'state' | 'revision'>;
  readonly clock: Clock;
  readonly store: Pick<Store, 'ask'>;
  readonly outputs: () => readonly OutputSettings[];
}

/** Keeps on the disk what the lights show, for a start at which no show can be read any more. */
export class PictureKeeper {
  readonly #parts: PictureParts;
  #timer: NodeJS.Timeout | undefined;
  #kept = '';
  #blackout: boolean | undefined;
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
  }

  /** What plays has changed: a blackout is written down at once. */
  changed(): void {
    if (this.#blackout !== undefined && this.#blackout !== this.#parts.control.state.blackout) this.#keep();
  }

  #keep(): void {
    const { control, store } = this.#parts;
    this.#blackout = control.state.blackout;
    const universes = this.#universes();
    if (universes === undefined || universes.length === 0) return;
    const picture: LastPicture = { version: 1, outputs: [...this.#parts.outputs()], blackout: this.#blackout, universes };
    const text = JSON.stringify(picture);
    if (text === this.#kept) return;
    this.#kept = text;
    // A disk that refuses is told of by what plays; the next picture tries again.
    store.ask('keepPicture', picture).catch(() => {
      this.#kept = '';
    });
  }

  /** Undefined for a show that is not in the store yet. */
  #universes(): LastPicture['universes'] | undefined {
    const { show, revision } = this.#parts.control;
    // What is repeated already stays as it is.
    if (show.picture !== undefined) return show.picture.map(({ universe, slots }) => ({ universe, slots: inBase64(slots) }));
    return revision === 0 ? undefined : this.#drawn(show);
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
