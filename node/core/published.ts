import { Latest } from './latest.ts';
import { Levels } from './levels.ts';
import type { Universe } from './units.ts';

/** Memory of a {@link Published}, to be handed to another thread. */
export interface PublishedMemory {
  readonly levels: SharedArrayBuffer;
  readonly frame: SharedArrayBuffer;
}

/** What the engine lets others see of every frame that goes out: its slots, and the guarded frame that they were made from. */
export class Published {
  readonly levels: Levels;
  readonly frame: Latest<Float64Array>;

  constructor(universes: readonly Universe[], cells: number, memory?: PublishedMemory) {
    this.levels = new Levels(universes, memory?.levels);
    this.frame = new Latest(Float64Array, cells, memory?.frame);
  }

  get memory(): PublishedMemory {
    return { levels: this.levels.memory, frame: this.frame.memory };
  }
}
