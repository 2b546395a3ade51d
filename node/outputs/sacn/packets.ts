import { SLOTS } from '../../core/levels.ts';
import type { Byte, Universe } from '../../core/units.ts';
import { packetOf } from '../packet-table.ts';
import {
  dataPacket,
  discoveryLength,
  discoveryPacket,
  listedUniverse,
  SLOTS_AT,
  STREAM_TERMINATED,
  SYNC_LENGTH,
  syncPacket,
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
export function newDataPacket({ cid, name }: Source, { slots = SLOTS, ...fields }: DataOptions): Uint8Array {
  const rest = { sequence: 0, propertyValueCount: slots + 1, startCode: 0 };
  return packetOf(dataPacket, SLOTS_AT + slots, { cid, sourceName: name, ...fields, ...rest });
}

/** Patches a packet for the next send. `slots` must not hold more than the packet carries. */
export function fillData(packet: Uint8Array, sequence: Byte, slots: Uint8Array): void {
  dataPacket.sequence.put(packet, sequence);
  packet.set(slots, SLOTS_AT);
}

/** Section 6.2.6: the packet that says that its universe is sent no more. A copy, so that three may be in flight at once. */
export function terminationOf(packet: Uint8Array, sequence: Byte): Uint8Array {
  const copy = packet.slice();
  dataPacket.sequence.put(copy, sequence);
  dataPacket.options.put(copy, STREAM_TERMINATED | dataPacket.options.get(copy));
  return copy;
}

export const newSyncPacket = ({ cid }: Source, synchronizationAddress: Universe): Uint8Array =>
  packetOf(syncPacket, SYNC_LENGTH, { cid, sequence: 0, synchronizationAddress });

export function fillSync(packet: Uint8Array, sequence: Byte): void {
  syncPacket.sequence.put(packet, sequence);
}

/** The pages of one universe discovery set; `universes` ascending (section 8.5). No universes give one page that lists none. */
export function newDiscoveryPackets({ cid, name }: Source, universes: readonly Universe[]): Uint8Array[] {
  const lastPage = Math.max(0, Math.ceil(universes.length / UNIVERSES_PER_PAGE) - 1);
  return Array.from({ length: lastPage + 1 }, (_, page) => {
    const listed = universes.slice(page * UNIVERSES_PER_PAGE, (page + 1) * UNIVERSES_PER_PAGE);
    const packet = packetOf(discoveryPacket, discoveryLength(listed.length), { cid, sourceName: name, page, lastPage });
    for (const [i, universe] of listed.entries()) listedUniverse(i).put(packet, universe);
    return packet;
  });
}
