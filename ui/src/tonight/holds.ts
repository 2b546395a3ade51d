import { signal } from '@preact/signals';

/**
 * Which buttons are held, and by what: a finger, a key. A button acts from the first that holds it to the last that lets go.
 * Pure bookkeeping; `hold-button.tsx` says what pressing and letting go do.
 */
export class Holds {
  /** Buttons held now. */
  readonly held = signal<ReadonlySet<string>>(new Set());
  readonly #by = new Map<string, string>();
  readonly #press: (button: string) => void;
  readonly #release: (button: string) => void;

  constructor(press: (button: string) => void, release: (button: string) => void) {
    this.#press = press;
    this.#release = release;
  }

  /** `holder` names the finger or key; one that holds already is not counted twice. */
  down(button: string, holder: string): void {
    if (this.#by.has(holder)) return;
    this.#by.set(holder, button);
    if (this.held.value.has(button)) return;
    this.held.value = new Set(this.held.value).add(button);
    this.#press(button);
  }

  up(holder: string): void {
    const button = this.#by.get(holder);
    if (button === undefined) return;
    this.#by.delete(holder);
    if ([...this.#by.values()].includes(button)) return;
    const held = new Set(this.held.value);
    held.delete(button);
    this.held.value = held;
    this.#release(button);
  }

  /** The page is hidden, the line is lost: nothing is held any more. */
  allUp(): void {
    for (const holder of [...this.#by.keys()]) this.up(holder);
  }
}
