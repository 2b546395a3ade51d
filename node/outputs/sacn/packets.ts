import { SLOTS } from '../../core/levels.ts';
import type { Byte, Universe } from '../../core/units.ts';
import { blank, put } from './fields.ts';
import {
  dataPacket,
  discoveryPacket,
  SLOTS_AT,
  STREAM_TERMINATED,
  SYNC_LENGTH,
  syncPacket,
  UNIVERSES_AT,
  UNIVERSES_PER_PAGE,
} from './tables.ts';

/** Who sends: the same in every packet of this node. */
export interface Source {
  /** 16 octets, the same for the life of the component (section 5.6). */
  readonly cid: Uint8Array;
  readonly name: string;
}

export interface DataOptions {
  readonly universe: Universe;
  readonly priority: number;
  /** 0: not synchronized. */
  readonly synchronizationAddress: number;
  /** Bits of section 6.2.6. */
  readonly options: number;
  /** Slots carried, 0..512; all of them unless told. */
  readonly slots?: number;
}

/** A data packet with sequence 0, START code 0 and all slots zero; {@link fillData} puts in what changes. */
export function newDataPacket(source: Source, { slots = SLOTS, ...fields }: DataOptions): Uint8Array {
  const packet = blank(dataPacket, SLOTS_AT + slots);
  putSource(packet, source);
  put(packet, dataPacket.priority, fields.priority);
  put(packet, dataPacket.synchronizationAddress, fields.synchronizationAddress);
  put(packet, dataPacket.options, fields.options);
  put(packet, dataPacket.universe, fields.universe);
  put(packet, dataPacket.propertyValueCount, slots + 1);
  return packet;
}

/** Patches a packet for the next send. `slots` must not hold more than the packet carries. */
export function fillData(packet: Uint8Array, sequence: Byte, slots: Uint8Array): void {
  put(packet, dataPacket.sequence, sequence);
  packet.set(slots, SLOTS_AT);
}

/** Section 6.2.6: the packet that says that its universe is sent no more. A copy, so that three may be in flight at once. */
export function terminationOf(packet: Uint8Array, sequence: Byte): Uint8Array {
  const copy = packet.slice();
  put(copy, dataPacket.sequence, sequence);
  put(copy, dataPacket.options, STREAM_TERMINATED | (copy[dataPacket.options.at] ?? 0));
  return copy;
}

export function newSyncPacket({ cid }: Source, synchronizationAddress: Universe): Uint8Array {
  const packet = blank(syncPacket, SYNC_LENGTH);
  packet.set(cid, syncPacket.cid.at);
  put(packet, syncPacket.synchronizationAddress, synchronizationAddress);
  return packet;
}

export function fillSync(packet: Uint8Array, sequence: Byte): void {
  put(packet, syncPacket.sequence, sequence);
}

/** The pages of one universe discovery set; `universes` ascending (section 8.5). No universes give one page that lists none. */
export function newDiscoveryPackets(source: Source, universes: readonly Universe[]): Uint8Array[] {
  const lastPage = Math.max(0, Math.ceil(universes.length / UNIVERSES_PER_PAGE) - 1);
  return Array.from({ length: lastPage + 1 }, (_, page) => {
    const listed = universes.slice(page * UNIVERSES_PER_PAGE, (page + 1) * UNIVERSES_PER_PAGE);
    const packet = blank(discoveryPacket, UNIVERSES_AT + 2 * listed.length);
    putSource(packet, source);
    put(packet, discoveryPacket.page, page);
    put(packet, discoveryPacket.lastPage, lastPage);
    for (const [i, universe] of listed.entries()) put(packet, { at: UNIVERSES_AT + 2 * i, size: 2 }, universe);
    return packet;
  });
}

function putSource(packet: Uint8Array, { cid, name }: Source): void {
  packet.set(cid, dataPacket.cid.at);
  // Section 6.2.2: UTF-8, ended by a zero. `encodeInto` stops before a character that does not fit whole.
  const { at, size } = dataPacket.sourceName;
  new TextEncoder().encodeInto(name, packet.subarray(at, at + size - 1));
}
