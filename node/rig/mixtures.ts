import type { Frame } from '../core/frame.ts';
import type { LampColour } from '../light/lamp-colour.ts';
import type { LampColours } from './lamp-colours.ts';
import type { Lamp, Rig, RigFixture } from './rig.ts';

/** What is mixed in one lamp, and where: cells count from the first of its fixture. */
export interface Mixer {
  readonly colours: LampColour;
  /** The first of the three cells of its colour. */
  readonly colour: number;
  /** Cells by which its emitters are driven directly. */
  readonly emitters: Uint32Array;
}

/** Undefined for a lamp that mixes no colours. */
export function mixerOf(lamp: Lamp, fixture: RigFixture, colours: LampColours): Mixer | undefined {
  const { cells, emitters } = lamp;
  if (emitters.length === 0) return undefined;
  return {
    colours: colours.of(fixture, emitters),
    colour: cells.get('ColourL') as number,
    emitters: Uint32Array.from(emitters, (name) => cells.get(name) as number),
  };
}

/** What the lamps of a rig mix: once for all who ask, and again where a colour is another. */
export class Mixtures {
  /** Laid out as a frame: in the cells of a colour the one that was mixed last, in those of its emitters the levels that it came to. */
  readonly #mixed: Float64Array;

  constructor(size: number) {
    this.#mixed = new Float64Array(size).fill(Number.NaN);
  }

  /** Levels 0..1 of a lamp's emitters in its colour, into `levels`. @param first where its fixture begins in the frame */
  mix({ colours, colour, emitters }: Mixer, frame: Frame, first: number, levels: Float64Array): void {
    const mixed = this.#mixed;
    const at = first + colour;
    if (mixed[at] === frame[at] && mixed[at + 1] === frame[at + 1] && mixed[at + 2] === frame[at + 2]) {
      for (let i = 0; i < emitters.length; i++) levels[i] = mixed[first + (emitters[i] as number)] as number;
      return;
    }
    colours.mix(frame, at, levels);
    for (let i = at; i < at + 3; i++) mixed[i] = frame[i] as number;
    for (let i = 0; i < emitters.length; i++) mixed[first + (emitters[i] as number)] = levels[i] as number;
  }
}

const known = new WeakMap<Rig, Mixtures>();

/** The mixtures of a rig, which its guards and its encoder share. */
export function mixturesOf(rig: Rig): Mixtures {
  const mixtures = known.get(rig) ?? new Mixtures(rig.rest.length);
  known.set(rig, mixtures);
  return mixtures;
}
