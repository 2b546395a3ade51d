/**
 * Packets of a fixed layout as tables: every field knows where it stands, how wide it is and how its octets are meant. The same
 * table serves the writer and the reader, so the two cannot drift apart.
 */
export interface Field<V> {
  readonly at: number;
  readonly size: number;
  /** Octets that a short packet does not have read as 0. */
  get(bytes: Uint8Array): V;
  put(bytes: Uint8Array, value: V): void;
}
type Layout = Readonly<Record<string, Field<unknown>>>;
export type ValuesOf<L extends Layout> = { readonly [K in keyof L]: L[K] extends Field<infer V> ? V : never };

/** Every field of `layout`. */
export function read<L extends Layout>(bytes: Uint8Array, layout: L): ValuesOf<L> {
  return Object.fromEntries(Object.entries(layout).map(([name, field]) => [name, field.get(bytes)])) as ValuesOf<L>;
}

export function write<L extends Layout>(bytes: Uint8Array, layout: L, values: ValuesOf<L>): void {
  for (const [name, field] of Object.entries(layout)) field.put(bytes, values[name]);
}

export const octet = (at: number): Field<number> => ({
  at,
  size: 1,
  get: (bytes) => bytes[at] ?? 0,
  put: (bytes, value) => {
    bytes[at] = value;
  },
});

/** Two octets, the high one first. */
export const highFirst = (at: number): Field<number> => word(at, at, at + 1);
/** Two octets, the low one first. */
export const lowFirst = (at: number): Field<number> => word(at, at + 1, at);

const word = (at: number, high: number, low: number): Field<number> => ({
  at,
  size: 2,
  get: (bytes) => ((bytes[high] ?? 0) << 8) | (bytes[low] ?? 0),
  put: (bytes, value) => {
    bytes[high] = value >> 8;
    bytes[low] = value;
  },
});

export const octets = (at: number, size: number): Field<readonly number[]> => ({
  at,
  size,
  get: (bytes) => Array.from({ length: size }, (_, i) => bytes[at + i] ?? 0),
  put: (bytes, values) => bytes.set(values.slice(0, size), at),
});

/** Octets written as a string: `join` makes it of the numbers, `split` takes it apart. */
function written(
  raw: Field<readonly number[]>,
  join: (raw: readonly number[]) => string,
  split: (value: string) => number[],
): Field<string> {
  const { at, size } = raw;
  return { at, size, get: (bytes) => join(raw.get(bytes)), put: (bytes, value) => raw.put(bytes, split(value)) };
}

/** Four octets in network order, as `192.0.2.7`. */
export const ip = (at: number): Field<string> =>
  written(
    octets(at, 4),
    (raw) => raw.join('.'),
    (value) => value.split('.').map(Number),
  );

/** Six octets, as `02:00:00:00:00:01`. */
export const mac = (at: number): Field<string> =>
  written(
    octets(at, 6),
    (raw) => raw.map((value) => value.toString(16).padStart(2, '0')).join(':'),
    (value) => value.split(':').map((part) => Number.parseInt(part, 16)),
  );

/** ASCII, ended by a NUL inside the field. It is written into a packet that is still zero there. */
export const text = (at: number, size: number): Field<string> => ({
  at,
  size,
  get: (bytes) => readable(bytes.subarray(at, at + size)),
  put: (bytes, value) => bytes.set(Buffer.from(plain(value)).subarray(0, size - 1), at),
});

/** Up to the first NUL. What is no printable ASCII becomes a question mark: no device shall write into a terminal or a page. */
function readable(raw: Uint8Array): string {
  const end = raw.indexOf(0);
  const words = Buffer.from(raw.buffer, raw.byteOffset, end === -1 ? raw.length : end).toString('latin1');
  return words.replace(/[^\x20-\x7e]/g, '?');
}

/** Accents go, other letters that are not ASCII become question marks. */
const plain = (words: string): string =>
  words
    .normalize('NFKD')
    .replace(/\p{M}/gu, '')
    .replace(/[^\x20-\x7e]/gu, '?');
