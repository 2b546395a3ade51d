import type { OutputSettings } from '../core/output-settings.ts';
import type { Millis } from '../core/units.ts';
import type { Engine } from '../engine/engine.ts';
import { footprint } from '../rig/fixture-type.ts';
import type { LastPicture } from '../store/last-picture.ts';
import type { Store } from '../store/store.ts';
import type { Control } from './control.ts';

/** A picture that is some seconds old serves as well; the card is spared. */
const EVERY: Millis = 5000;
/** Uses whose fixtures are off in it: nobody may be there to stop them. */
const LEFT_OUT: readonly string[] = ['haze', 'laser'];

export interface PictureParts {
  readonly control: Control;
  readonly engine: Engine;
  readonly store: Pick<Store, 'ask'>;
  readonly outputs: () => readonly OutputSettings[];
}

/** Keeps on the disk what goes to the wire, for a start at which no show can be read any more. */
export class PictureKeeper {
  readonly #parts: PictureParts;
  #timer: NodeJS.Timeout | undefined;
  #kept = '';

  constructor(parts: PictureParts) {
    this.#parts = parts;
  }

  start(): void {
    this.#timer = setInterval(() => this.#keep(), EVERY);
  }

  stop(): void {
    clearInterval(this.#timer);
  }

  #keep(): void {
    const { control, store } = this.#parts;
    // Of a show that is in the store; what is repeated already stays as it is.
    if (control.revision === 0) return;
    const picture = this.#picture();
    const text = JSON.stringify(picture);
    if (text === this.#kept || picture.universes.length === 0) return;
    this.#kept = text;
    // A disk that refuses is told of by what plays; the next picture tries again.
    store.ask('keepPicture', picture).catch(() => {
      this.#kept = '';
    });
  }

  #picture(): LastPicture {
    const { control, engine, outputs } = this.#parts;
    const { rig, show } = control.show;
    const { levels } = engine.published;
    const slotsOf = new Map(levels.universes.map((universe) => [universe, levels.snapshot(universe)]));
    for (const [i, { mode, universe, address }] of rig.fixtures.entries()) {
      if (LEFT_OUT.includes(show.fixtures[i]?.use ?? ''))
        slotsOf.get(universe)?.fill(0, address - 1, address - 1 + footprint(mode));
    }
    const universes = [...slotsOf].map(([universe, slots]) => ({ universe, slots: Buffer.from(slots).toString('base64') }));
    return { version: 1, outputs: [...outputs()], universes };
  }
}
