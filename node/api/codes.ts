import { randomInt } from 'node:crypto';
import type { Role } from '../core/roles.ts';
import type { Millis } from '../core/units.ts';

/** No letter or figure that could be read as another. Eight of these are 39 bits: hopeless to guess at ten tries a minute. */
const ALPHABET = 'ABCDEFGHJKMNPQRSTUVWXYZ23456789';
const LENGTH = 8;
/** Time in which the first phone may claim a fresh node after its start, and in which an invitation holds. */
export const CLAIM_WITHIN: Millis = 10 * 60_000;
export const INVITATION_HOLDS: Millis = 5 * 60_000;
const MOST_OPEN = 20;

interface Code {
  readonly letters: string;
  readonly role: Role;
  readonly expiresAt: Millis;
}

/** Codes by which phones may join: each for one phone, for one role, for a short time. They live in memory only. */
export class Codes {
  readonly #open = new Map<string, Code>();

  /** Makes a code, written with a hyphen in the middle for whoever types it. */
  make(role: Role, now: Millis, holds: Millis): { readonly code: string; readonly expiresAt: Millis } {
    this.#prune(now);
    const oldest = this.#open.keys().next().value;
    if (this.#open.size >= MOST_OPEN && oldest !== undefined) this.#open.delete(oldest);
    const letters = Array.from({ length: LENGTH }, () => ALPHABET[randomInt(ALPHABET.length)]).join('');
    const expiresAt = now + holds;
    this.#open.set(letters, { letters, role, expiresAt });
    return { code: `${letters.slice(0, 4)}-${letters.slice(4)}`, expiresAt };
  }

  /** Uses a code up. @returns it with the role it gives, or undefined when it is wrong, used or too old. */
  use(text: string, now: Millis): Code | undefined {
    this.#prune(now);
    const letters = text.toUpperCase().replace(/[^A-Z0-9]/g, '');
    const found = this.#open.get(letters);
    this.#open.delete(letters);
    return found;
  }

  /** What was used for nothing may be used again. */
  giveBack(code: Code): void {
    this.#open.set(code.letters, code);
  }

  #prune(now: Millis): void {
    for (const [letters, { expiresAt }] of this.#open) if (expiresAt <= now) this.#open.delete(letters);
  }
}
