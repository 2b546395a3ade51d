import type { Command } from '../core/commands.ts';
import { InputError } from '../core/errors.ts';
import type { Control } from './control.ts';

/**
 * Who holds which hit down. Two phones may hold one, and the first to lift must not end it for the other: it is let go when the last
 * holder lifts. A hit that ended by itself (its longest time, silence, a release from elsewhere) has no holders any more.
 */
export class Holds<Holder> {
  readonly #isOn: (button: string) => boolean;
  /** By button, who holds it; `true` once the press was carried out: until then it cannot have ended by itself. */
  readonly #holders = new Map<string, Map<Holder, boolean>>();

  /** @param isOn whether what a button starts is on at present. */
  constructor(isOn: (button: string) => boolean) {
    this.#isOn = isOn;
  }

  /** A finger goes down; to be followed by {@link pressed} when the hit is on. */
  press(button: string, holder: Holder): void {
    const holders = this.#of(button);
    holders.set(holder, false);
    this.#holders.set(button, holders);
  }

  pressed(button: string, holder: Holder): void {
    const holders = this.#holders.get(button);
    if (holders?.has(holder)) holders.set(holder, true);
  }

  /** A finger lifts. @returns whether nobody holds the hit any more, so that it is to be released. */
  lift(button: string, holder: Holder): boolean {
    const holders = this.#of(button);
    holders.delete(holder);
    if (holders.size > 0) return false;
    this.#holders.delete(button);
    return true;
  }

  /** All fingers of a holder are gone. @returns the hits that nobody holds any more. */
  liftAll(holder: Holder): string[] {
    const own = [...this.#holders].filter(([, holders]) => holders.has(holder)).map(([button]) => button);
    return own.filter((button) => this.lift(button, holder));
  }

  /** Those who hold a button, without those whose hit has ended by itself. */
  #of(button: string): Map<Holder, boolean> {
    const holders = this.#holders.get(button) ?? new Map<Holder, boolean>();
    if (this.#isOn(button)) return holders;
    for (const [holder, wasOn] of holders) if (wasOn) holders.delete(holder);
    return holders;
  }
}

/** Somebody who asks: as whom they hold, and what they are called. */
interface Asker {
  readonly holder: object;
  readonly name: string;
}

/**
 * Carries a command out, its names resolved. A hit is held by whoever presses it and let go when the last of them lifts.
 * @returns false where somebody else still holds the hit that was to be let go: it plays on.
 * @throws (rejects with) what {@link Control.do} throws.
 */
export async function carryOut(
  command: Command,
  control: Pick<Control, 'do' | 'startsHit'>,
  holds: Holds<object>,
  { holder, name }: Asker,
): Promise<boolean> {
  const hit = (command.do === 'press' || command.do === 'release') && control.startsHit(command.button);
  if (hit && command.do === 'release' && !holds.lift(command.button, holder)) return false;
  if (!hit || command.do !== 'press') {
    await control.do(command, name);
    return true;
  }
  holds.press(command.button, holder);
  try {
    await control.do(command, name);
    holds.pressed(command.button, holder);
    return true;
  } catch (error) {
    // Refused, nothing was started. Where the disk alone failed, the hit is on and held.
    if (error instanceof InputError) holds.lift(command.button, holder);
    throw error;
  }
}
