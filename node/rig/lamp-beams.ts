import { type AttributeName, isEmitter } from '../core/attributes.ts';
import type { Channel, FixtureType } from './fixture-type.ts';
import type { Lamp } from './rig.ts';

type Piece = NonNullable<FixtureType['geometry']>[number];
export type Beam = NonNullable<Piece['beam']>;

/** Copies within copies, and beams of one lamp, that are followed: no honest type has more, and bodies may be crafted. */
const DEPTH = 16;
const MOST = 512;

const known = new WeakMap<readonly Channel[], readonly Beam[]>();

/**
 * The beams that a lamp, the whole or a part, lights: those that hang on the geometries of its emitters, or else of its dimmer, copies and all
 * (GDTF, DIN SPEC 15800:2022-02: a channel works on its geometry and what hangs on that). Empty where the type tells of none.
 */
export function beamsOf(type: FixtureType, { channels }: Pick<Lamp, 'channels'>): readonly Beam[] {
  const found = known.get(channels) ?? lookFor(type, channels);
  known.set(channels, found);
  return found;
}

function lookFor({ geometry = [] }: FixtureType, channels: readonly Channel[]): readonly Beam[] {
  const emitters = geometriesOf(channels, isEmitter);
  const body = new Body(geometry);
  for (const name of emitters.size > 0 ? emitters : geometriesOf(channels, (attribute) => attribute === 'Dimmer')) body.light(name);
  return body.beams;
}

const geometriesOf = (channels: readonly Channel[], is: (name: AttributeName) => boolean): ReadonlySet<string> =>
  new Set(
    channels.flatMap(({ geometry, functions }) =>
      geometry !== undefined && functions.some(({ attribute }) => is(attribute)) ? [geometry] : [],
    ),
  );

class Body {
  readonly beams: Beam[] = [];
  readonly #pieces: readonly Piece[];
  readonly #under = new Map<number, number[]>();
  /** A piece is lit once, however many channels do. */
  readonly #lit = new Set<number>();

  constructor(pieces: readonly Piece[]) {
    this.#pieces = pieces;
    for (const [place, { on }] of pieces.entries())
      if (on !== undefined) this.#under.set(on, [...(this.#under.get(on) ?? []), place]);
  }

  /** Of two pieces of a name the first is meant. */
  light(name: string): void {
    const place = this.#pieces.findIndex((one) => one.name === name);
    if (place >= 0) this.#light(place, 0);
  }

  #light(place: number, depth: number): void {
    if (this.beams.length >= MOST || (depth === 0 && this.#lit.has(place))) return;
    if (depth === 0) this.#lit.add(place);
    const { beam, of } = this.#pieces[place] as Piece;
    if (beam !== undefined) this.beams.push(beam);
    for (const child of this.#under.get(place) ?? []) this.#light(child, depth);
    const copied =
      of === undefined || depth >= DEPTH ? -1 : this.#pieces.findIndex((one) => one.on === undefined && one.name === of);
    if (copied >= 0) this.#light(copied, depth + 1);
  }
}
