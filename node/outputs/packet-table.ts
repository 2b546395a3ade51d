/**
 * Packets of a fixed layout as tables, one a packet, each headed by the clause that prescribes it: every field knows where it stands,
 * how wide it is and how its octets are meant. The same table serves the writer and the reader, so the two cannot drift apart.
 */
export interface Field<V> {
  /** Octets from the start of the UDP payload. */
  readonly at: number;
  readonly size: number;
  /** Octets that a short packet does not have read as 0. */
  get(bytes: Uint8Array): V;
  put(bytes: Uint8Array, value: V): void;
}

/** A field whose value follows from the standard and the packet alone. */
export interface Fixed<V> extends Field<V> {
  /** The value, where it is the same in every packet. */
  readonly is: V | undefined;
  fix(bytes: Uint8Array): void;
  holds(bytes: Uint8Array): boolean;
}

export type Table = Readonly<Record<string, Field<unknown>>>;
/** What varies from packet to packet. */
export type ValuesOf<T extends Table> = {
  readonly [K in keyof T as T[K] extends { fix: unknown } ? never : K]: T[K] extends Field<infer V> ? V : never;
};

/** The fields of `table` that vary. */
export function read<T extends Table>(bytes: Uint8Array, table: T): ValuesOf<T> {
  const varying = Object.entries(table).filter(([, field]) => !isFixed(field));
  return Object.fromEntries(varying.map(([name, field]) => [name, field.get(bytes)])) as ValuesOf<T>;
}

/** A new packet of `length` octets: fixed fields as the standard has them, the others as given, zero where no field is. */
export function packetOf<T extends Table>(table: T, length: number, values: ValuesOf<T>): Uint8Array {
  const packet = new Uint8Array(length);
  for (const [name, field] of Object.entries(table)) {
    if (isFixed(field)) field.fix(packet);
    else field.put(packet, values[name as keyof ValuesOf<T>]);
  }
  return packet;
}

/** The name of the first field that does not hold what it is fixed to; undefined when all do. */
export function wrongField<T extends Table>(table: T, bytes: Uint8Array): keyof T | undefined {
  for (const name in table) {
    const field: Field<unknown> | undefined = table[name];
    if (field !== undefined && isFixed(field) && !field.holds(bytes)) return name;
  }
  return undefined;
}

const isFixed = (field: Field<unknown>): field is Fixed<unknown> => 'fix' in field;

/** The field holds the same number in every packet. */
export const fixed = <N extends number>(field: Field<number>, is: N): Fixed<number> & { readonly is: N } => ({
  ...derived(field, () => is),
  is,
});

/** The field holds a number that follows from the packet. */
export const derived = (field: Field<number>, of: (bytes: Uint8Array) => number): Fixed<number> => ({
  ...field,
  is: undefined,
  fix: (bytes) => field.put(bytes, of(bytes)),
  holds: (bytes) => field.get(bytes) === of(bytes),
});

/** The same octets in every packet. */
export const fixedOctets = (at: number, is: readonly number[]): Fixed<readonly number[]> => ({
  ...octets(at, is.length),
  is,
  fix: (bytes) => bytes.set(is, at),
  holds: (bytes) => is.every((octet, i) => bytes[at + i] === octet),
});

/** A number of `size` octets, the high one first. */
const number = (at: number, size: number): Field<number> => ({
  at,
  size,
  get: (bytes) => {
    let value = 0;
    for (let i = at; i < at + size; i++) value = value * 256 + (bytes[i] ?? 0);
    return value;
  },
  put: (bytes, value) => {
    for (let i = at + size - 1, rest = value; i >= at; i--, rest >>>= 8) bytes[i] = rest & 0xff;
  },
});

export const octet = (at: number): Field<number> => number(at, 1);
/** Two octets, the high one first. */
export const highFirst = (at: number): Field<number> => number(at, 2);
/** Four octets, the highest first. */
export const fourHighFirst = (at: number): Field<number> => number(at, 4);
/** Two octets, the low one first. */
export const lowFirst = (at: number): Field<number> => ({
  at,
  size: 2,
  get: (bytes) => ((bytes[at + 1] ?? 0) << 8) | (bytes[at] ?? 0),
  put: (bytes, value) => {
    bytes[at] = value & 0xff;
    bytes[at + 1] = value >> 8;
  },
});

/** Octets as a list of numbers of its own. */
export const octets = (at: number, size: number): Field<readonly number[]> => ({
  at,
  size,
  get: (bytes) => Array.from({ length: size }, (_, i) => bytes[at + i] ?? 0),
  put: (bytes, values) => bytes.set(values.slice(0, size), at),
});

/** Octets as a view of the packet. */
export const view = (at: number, size: number): Field<Uint8Array> => ({
  at,
  size,
  get: (bytes) => bytes.subarray(at, at + size),
  put: (bytes, values) => bytes.set(values.subarray(0, size), at),
});

/** UTF-8, ended by a zero inside the field; what is none reads as U+FFFD. It is written into a packet that is still zero there. */
export const utf8 = (at: number, size: number): Field<string> => ({
  at,
  size,
  get: (bytes) => new TextDecoder('utf-8', { ignoreBOM: true }).decode(upToZero(bytes.subarray(at, at + size))),
  put: (bytes, value) => {
    // It stops before a character that does not fit whole.
    new TextEncoder().encodeInto(value, bytes.subarray(at, at + size - 1));
  },
});

/**
 * ASCII, ended by a zero inside the field. What is no printable ASCII reads as a question mark: no device shall write into a terminal or a
 * page. It is written into a packet that is still zero there; accents go, other letters that are not ASCII become question marks.
 */
export const ascii = (at: number, size: number): Field<string> => ({
  at,
  size,
  get: (bytes) => {
    const { buffer, byteOffset, length } = upToZero(bytes.subarray(at, at + size));
    return printable(Buffer.from(buffer, byteOffset, length).toString('latin1'));
  },
  put: (bytes, value) => {
    const plain = printable(value.normalize('NFKD').replace(/\p{M}/gu, ''));
    bytes.set(Buffer.from(plain).subarray(0, size - 1), at);
  },
});

/** Four octets in network order, as `192.0.2.7`. */
export const ip = (at: number): Field<string> => ({
  at,
  size: 4,
  get: (bytes) => octets(at, 4).get(bytes).join('.'),
  put: (bytes, value) => bytes.set(value.split('.').map(Number), at),
});

/** Six octets, as `02:00:00:00:00:01`. */
export const mac = (at: number): Field<string> => ({
  at,
  size: 6,
  get: (bytes) =>
    octets(at, 6)
      .get(bytes)
      .map((value) => value.toString(16).padStart(2, '0'))
      .join(':'),
  put: (bytes, value) =>
    bytes.set(
      value.split(':').map((part) => Number.parseInt(part, 16)),
      at,
    ),
});

function upToZero(raw: Uint8Array): Uint8Array {
  const end = raw.indexOf(0);
  return end === -1 ? raw : raw.subarray(0, end);
}

const printable = (words: string): string => words.replace(/[^\x20-\x7e]/gu, '?');
