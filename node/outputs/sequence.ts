import type { Byte } from '../core/units.ts';

/** How a protocol numbers the packets of a stream, up to 255. */
interface Numbers {
  readonly lowest: Byte;
  /** How far the first packets are apart. */
  readonly stride: number;
}

/** E1.31-2018 section 6.2.5. Section 6.7.2: receivers discard what is up to 19 behind, so that 20 is the shortest jump over that window. */
export const SACN_NUMBERS: Numbers = { lowest: 0, stride: 20 };
/** Art-Net 4, where 0 switches the receiver's check off. It leaves open what that check is: half of the numbers may count as behind. */
export const ARTNET_NUMBERS: Numbers = { lowest: 1, stride: 86 };

/** Packets at the start that are a stride apart from the one before: as many as repeat the first picture. */
const STRIDES = 3;

/**
 * The numbers of one stream's packets.
 *
 * Who begins afresh after a crash or a power cut does not know its last number, but receivers still do, and discard what seems to come
 * late. Twenty packets may be seconds, in which a receiver gives its source up. So the first packets are further apart: wherever an sACN
 * receiver stood, it refuses one of them at most and then takes the next, even if one or two of the others get lost. An Art-Net receiver
 * that discards up to half of the numbers refuses two at most.
 */
export class Sequence {
  readonly #numbers: Numbers;
  #next: Byte;
  #strides = STRIDES;

  constructor(numbers: Numbers) {
    this.#numbers = numbers;
    this.#next = numbers.lowest;
  }

  /** The number of the next packet. */
  take(): Byte {
    const { lowest, stride } = this.#numbers;
    const number = this.#next;
    const step = this.#strides > 0 ? stride : 1;
    if (this.#strides > 0) this.#strides--;
    this.#next = lowest + ((number - lowest + step) % (256 - lowest));
    return number;
  }
}
