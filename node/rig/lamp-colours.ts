import type { EmitterName } from '../core/attributes.ts';
import type { Frame } from '../core/frame.ts';
import type { Gamut } from '../light/gamut.ts';
import { LampColour } from '../light/lamp-colour.ts';
import type { FixtureType } from './fixture-type.ts';
import type { Lamp, RigFixture } from './rig.ts';

/**
 * One {@link LampColour} for every kind of lamp, so that what is worked out for it is worked out once. A trimmed lamp is a kind of its own, but
 * shares what its emitters can mix.
 */
export class LampColours {
  readonly #known = new Map<FixtureType, Map<string, LampColour>>();
  readonly #gamuts = new Map<FixtureType, Map<string, Gamut>>();

  of({ type, adjust: { trim } }: Pick<RigFixture, 'type' | 'adjust'>, emitters: readonly EmitterName[]): LampColour {
    const ofType = inner(this.#known, type);
    const gamuts = inner(this.#gamuts, type);
    const untrimmed = emitters.join(' ');
    const key = emitters.map((name) => `${name} ${trim?.[name] ?? 1}`).join(' ');
    const lamp = ofType.get(key) ?? new LampColour(emitters, type.emitters, trim, gamuts.get(untrimmed));
    ofType.set(key, lamp);
    gamuts.set(untrimmed, lamp.gamut);
    return lamp;
  }
}

/** Levels of a lamp's emitters in its colour: mixed once for all who ask, and again when the colour is another. */
export class Mixture {
  readonly #colours: LampColour;
  readonly #cell: number;
  readonly #levels: Float64Array;
  readonly #mixed = new Float64Array(3).fill(Number.NaN);

  constructor(colours: LampColour, lamp: Lamp) {
    this.#colours = colours;
    this.#cell = lamp.cells.get('ColourL') as number;
    this.#levels = new Float64Array(lamp.emitters.length);
  }

  /** Levels 0..1, to be read only. */
  at(frame: Frame): Float64Array {
    const cell = this.#cell;
    const mixed = this.#mixed;
    if (mixed[0] === frame[cell] && mixed[1] === frame[cell + 1] && mixed[2] === frame[cell + 2]) return this.#levels;
    for (let i = 0; i < 3; i++) mixed[i] = frame[cell + i] as number;
    this.#colours.mix(frame, cell, this.#levels);
    return this.#levels;
  }
}

const mixtures = new WeakMap<Lamp, Mixture>();

/** The one mixture of a lamp, which has emitters. */
export function mixtureOf(lamp: Lamp, colours: LampColour): Mixture {
  const mixture = mixtures.get(lamp) ?? new Mixture(colours, lamp);
  mixtures.set(lamp, mixture);
  return mixture;
}

function inner<Value>(of: Map<FixtureType, Map<string, Value>>, type: FixtureType): Map<string, Value> {
  const known = of.get(type) ?? new Map<string, Value>();
  of.set(type, known);
  return known;
}
