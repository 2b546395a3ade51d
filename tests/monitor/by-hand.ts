import { readFileSync } from 'node:fs';

/** The data packet that E1.31-2018 prints as Table B-13: "Source_A", universe 1, priority 100, sequence 154. */
const printed = Buffer.from(readFileSync(new URL('../truth/e131-table-b13.hex', import.meta.url), 'utf8').trim(), 'hex');

/** What a test wants otherwise. */
export interface DataByHand {
  /** Last octet of the CID, so that there may be many sources. */
  readonly who?: number;
  /** Text, or octets as they are. */
  readonly name?: string | Uint8Array;
  readonly priority?: number;
  readonly sequence?: number;
  readonly options?: number;
  readonly universe?: number;
  readonly startCode?: number;
}

/** The printed packet with other octets in the places that Table 4-1 gives. */
export function data({ who, name, priority, sequence, options, universe, startCode }: DataByHand = {}): Buffer {
  const packet = Buffer.from(printed);
  if (who !== undefined) packet.writeUInt16BE(who, 36);
  if (name !== undefined) {
    packet.fill(0, 44, 108);
    packet.set(Buffer.from(name).subarray(0, 64), 44);
  }
  if (priority !== undefined) packet[108] = priority;
  if (sequence !== undefined) packet[111] = sequence;
  if (options !== undefined) packet[112] = options;
  if (universe !== undefined) packet.writeUInt16BE(universe, 113);
  if (startCode !== undefined) packet[125] = startCode;
  return packet;
}

/** Section 6.2.6. */
export const PREVIEW = 0x80;
export const TERMINATED = 0x40;
