import type { Byte } from '../core/units.ts';

/** A third of the numbers, rounded up. */
const STRIDE = 86;
/** Packets at the start that are a stride apart from the one before: as many as repeat the first picture. */
const STRIDES = 3;

/**
 * The numbers of one stream's packets, 0 to 255 in sACN (E1.31-2018 section 6.2.5), 1 to 255 in Art-Net 4.
 *
 * Who begins afresh after a crash or a power cut does not know its last number, but receivers still do, and discard as late what is up to
 * 19 numbers behind it (E1.31-2018 section 6.7.2). Twenty packets may be seconds, in which a receiver gives its source up. So the first
 * packets are a third of the numbers apart: wherever a receiver stood, it refuses one of them at most, and then takes the next, even if
 * one or two of the others get lost. Art-Net leaves open what a receiver discards; one that discards everything up to half the numbers
 * behind refuses two at most.
 */
export class Sequence {
  readonly #lowest: 0 | 1;
  #next: Byte;
  #strides = STRIDES;

  constructor(lowest: 0 | 1) {
    this.#lowest = lowest;
    this.#next = lowest;
  }

  /** The number of the next packet. */
  take(): Byte {
    const number = this.#next;
    const step = this.#strides > 0 ? STRIDE : 1;
    if (this.#strides > 0) this.#strides--;
    this.#next = this.#lowest + ((number - this.#lowest + step) % (256 - this.#lowest));
    return number;
  }
}
