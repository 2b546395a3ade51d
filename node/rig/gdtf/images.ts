import { wheelNames } from '../../core/attributes.ts';
import type { FixtureType } from '../fixture-type.ts';

/** Of all slots of a type together; GDTF asks for 1024 pixels a side at most (DIN SPEC 15800:2022-02, wheel slots). */
const MOST = 64;
export const LARGEST_IMAGE = 1024 * 1024;
const MOST_BYTES = 8 * 1024 * 1024;
const MOST_PIXELS = 2048;

/** The picture of a wheel's slot: the name that the slot has for it, and a PNG. */
export interface SlotImage {
  readonly name: string;
  readonly bytes: Uint8Array;
}

/** What the slots of a type call their pictures, each once. */
export const imageNames = (wheels: FixtureType['wheels']): string[] => [
  ...new Set(wheelNames.flatMap((name) => (wheels[name] ?? []).flatMap(({ image }) => image ?? []))),
];

/** Where a picture lies in the archive (MediaFileName: a PNG in the folder `wheels`, without its ending). */
export const imagePath = (name: string): string => `wheels/${name.replace(/\.png$/i, '')}.png`.toLowerCase();

/** Takes pictures in as long as there is room. */
export class ImageShelf {
  readonly images: SlotImage[] = [];
  #bytes = 0;

  get isFull(): boolean {
    return this.images.length >= MOST || this.#bytes >= MOST_BYTES;
  }

  /** @returns why a picture is not kept, in words */
  take(name: string, bytes: Uint8Array): string | undefined {
    if (this.isFull || this.#bytes + bytes.length > MOST_BYTES) return FULL;
    const size = pngSize(bytes);
    if (size === undefined) return 'it is no PNG';
    if (Math.max(...size) > MOST_PIXELS) return `it has ${size.join(' × ')} pixels`;
    this.#bytes += bytes.length;
    this.images.push({ name, bytes });
    return undefined;
  }
}

/** Why a picture is not kept. */
export const FULL = 'there are more than can be kept';
const SIGNATURE = [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a];

/** Width and height by the first chunk of a PNG, IHDR (ISO/IEC 15948, 5.2 and 11.2.2). */
function pngSize(bytes: Uint8Array): readonly [number, number] | undefined {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const isPng = bytes.length >= 33 && SIGNATURE.every((one, i) => bytes[i] === one) && view.getUint32(12) === 0x49484452;
  return isPng ? [view.getUint32(16), view.getUint32(20)] : undefined;
}
