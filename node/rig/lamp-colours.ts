import type { EmitterName } from '../core/attributes.ts';
import type { Gamut } from '../light/gamut.ts';
import { LampColour } from '../light/lamp-colour.ts';
import type { FixtureType } from './fixture-type.ts';
import type { RigFixture } from './rig.ts';

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

function inner<Value>(of: Map<FixtureType, Map<string, Value>>, type: FixtureType): Map<string, Value> {
  const known = of.get(type) ?? new Map<string, Value>();
  of.set(type, known);
  return known;
}
