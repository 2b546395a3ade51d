import type { Frame } from '../core/frame.ts';
import { firstCellOf, Kinds } from './kinds.ts';
import { LampColours } from './lamp-colours.ts';
import { type LightLaw, lightLaws, SEEN } from './light-law.ts';
import { type Mixtures, mixturesOf } from './mixtures.ts';
import type { Rig } from './rig.ts';

/** Lamps of a kind of fixture that give light. */
export interface LitKind {
  readonly laws: readonly LightLaw[];
  /** Every cell that their light depends on, counted from the first of the fixture. */
  readonly watched: Uint32Array;
}

export interface LitFixture {
  readonly kind: LitKind;
  /** Where it begins in the frame. */
  readonly first: number;
}

/** How every fixture of a rig is lit, in the order of the patch; those of one kind share their laws. */
export function litFixtures(rig: Rig): LitFixture[] {
  const colours = new LampColours();
  const kinds = new Kinds();
  const known = new Map<Rig, LitKind>();
  return rig.fixtures.map((fixture) => {
    const alone = kinds.of(fixture);
    const kind = known.get(alone) ?? litKind(alone.fixtures.flatMap((one) => lightLaws(one, colours)));
    known.set(alone, kind);
    return { kind, first: firstCellOf(fixture) };
  });
}

const litKind = (laws: readonly LightLaw[]): LitKind => ({
  laws,
  watched: Uint32Array.from(new Set(laws.flatMap(({ cells, gates }) => [...cells, ...gates]))),
});

/** One lamp of a rig and the light that it was seen to give last: {@link LightLaw} says what numbers mean. */
export class LampLight {
  /** Place of its fixture in the patch, and which part of it: 0 is the whole. */
  readonly fixture: number;
  readonly part: number;
  readonly share: number;
  readonly exposure: number;
  /** Its own cells that its light depends on; and those of the whole before it. */
  readonly cells: Uint32Array;
  readonly gates: Uint32Array;
  /** Red, green, blue. */
  readonly light: Float64Array;
  readonly #law: LightLaw;
  readonly #first: number;
  readonly #mixtures: Mixtures;
  readonly #seen = new Float64Array(SEEN);

  constructor(law: LightLaw, first: number, place: number, mixtures: Mixtures) {
    this.fixture = place;
    this.part = law.part;
    this.share = law.share;
    this.exposure = law.exposure;
    this.cells = law.cells.map((cell) => first + cell);
    this.gates = law.gates.map((cell) => first + cell);
    this.light = this.#seen.subarray(0, 3);
    this.#law = law;
    this.#first = first;
    this.#mixtures = mixtures;
  }

  /** Flashes a second by its strobe, as fast as its channel can; 0 where it does not strobe. */
  get hertz(): number {
    return this.#seen[3] as number;
  }

  look(frame: Frame): void {
    this.#law.see(frame, this.#first, this.#mixtures, this.#seen, 0);
  }
}

/** Every lamp of a rig that gives light, in the order of the patch. */
export function lampLights(rig: Rig, lit: readonly LitFixture[] = litFixtures(rig)): LampLight[] {
  return lit.flatMap(({ kind, first }, place) => kind.laws.map((law) => new LampLight(law, first, place, mixturesOf(rig))));
}
