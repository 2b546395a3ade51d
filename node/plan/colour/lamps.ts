import type { EmitterName } from '../../core/attributes.ts';
import type { FixtureType } from '../../fixtures/fixture-type.ts';
import { LampColour } from './lamp.ts';

/** One {@link LampColour} for every kind of lamp, so that lamps of a kind share what it remembers. */
export class LampColours {
  readonly #known = new Map<FixtureType, Map<string, LampColour>>();

  of(type: FixtureType, emitters: readonly EmitterName[]): LampColour {
    const ofType = this.#known.get(type) ?? new Map<string, LampColour>();
    this.#known.set(type, ofType);
    const key = emitters.join(' ');
    const lamp = ofType.get(key) ?? new LampColour(emitters, type.emitters);
    ofType.set(key, lamp);
    return lamp;
  }
}
