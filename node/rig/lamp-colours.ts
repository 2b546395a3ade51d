import type { EmitterName } from '../core/attributes.ts';
import { LampColour } from '../light/lamp-colour.ts';
import type { FixtureType } from './fixture-type.ts';
import type { RigFixture } from './rig.ts';

/** One {@link LampColour} for every kind of lamp, so that lamps of a kind share what it remembers; a trimmed lamp is a kind of its own. */
export class LampColours {
  readonly #known = new Map<FixtureType, Map<string, LampColour>>();

  of({ type, adjust: { trim } }: Pick<RigFixture, 'type' | 'adjust'>, emitters: readonly EmitterName[]): LampColour {
    const ofType = this.#known.get(type) ?? new Map<string, LampColour>();
    this.#known.set(type, ofType);
    const key = emitters.map((name) => `${name} ${trim?.[name] ?? 1}`).join(' ');
    const lamp = ofType.get(key) ?? new LampColour(emitters, type.emitters, trim);
    ofType.set(key, lamp);
    return lamp;
  }
}
