/**
 * One field of a packet of fixed layout. All numbers are big-endian (E1.31-2018 section 4.1).
 * A table of these is all that the writer and the reader know of a packet.
 */
export interface Field {
  /** Octets from the start of the UDP payload. */
  readonly at: number;
  readonly size: number;
  /**
   * What the standard fixes the field to: a number, octets, or `length`, which is 0x7 in the top four bits and in the other
   * twelve the number of octets from here to the end of the packet. Absent: the field varies.
   */
  readonly is?: number | readonly number[] | 'length';
}

export type Table = Readonly<Record<string, Field>>;

export function put(packet: Uint8Array, { at, size }: Field, value: number): void {
  let rest = value;
  for (let i = size - 1; i >= 0; i--) {
    packet[at + i] = rest & 0xff;
    rest >>>= 8;
  }
}

export function get(packet: Uint8Array, { at, size }: Field): number {
  let value = 0;
  for (let i = 0; i < size; i++) value = value * 256 + (packet[at + i] ?? 0);
  return value;
}

/** A packet of `length` octets with every fixed field in place and zero in the others. */
export function blank(table: Table, length: number): Uint8Array {
  const packet = new Uint8Array(length);
  for (const field of Object.values(table)) {
    if (field.is === undefined) continue;
    if (typeof field.is === 'object') packet.set(field.is, field.at);
    else put(packet, field, field.is === 'length' ? flagsAndLength(packet, field) : field.is);
  }
  return packet;
}

/** The name of the first field that does not hold what the standard fixes it to; undefined when all do. */
export function wrongField<T extends Table>(table: T, packet: Uint8Array): keyof T | undefined {
  for (const name in table) {
    const field: Field = table[name] as Field;
    if (field.is === undefined) continue;
    if (typeof field.is === 'object') {
      if (field.is.some((octet, i) => packet[field.at + i] !== octet)) return name;
    } else if (get(packet, field) !== (field.is === 'length' ? flagsAndLength(packet, field) : field.is)) return name;
  }
  return undefined;
}

const flagsAndLength = (packet: Uint8Array, { at }: Field): number => 0x7000 + packet.length - at;
