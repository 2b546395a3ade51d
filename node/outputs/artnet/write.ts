import { SLOTS } from '../../core/levels.ts';
import type { PortAddress } from '../../core/units.ts';
import { packetOf, type ValuesOf } from '../packet-table.ts';
import {
  ART_DMX,
  ART_DMX_LENGTH,
  ART_DMX_SLOTS,
  ART_POLL,
  ART_POLL_LENGTH,
  ART_POLL_REPLY,
  ART_POLL_REPLY_LENGTH,
  ART_SYNC,
  ART_SYNC_LENGTH,
  type PollReply,
} from './packets.ts';

export const artPoll = (values: ValuesOf<typeof ART_POLL>): Uint8Array => packetOf(ART_POLL, ART_POLL_LENGTH, values);

export const artPollReply = (values: PollReply): Uint8Array => packetOf(ART_POLL_REPLY, ART_POLL_REPLY_LENGTH, values);

export const artSync = (): Uint8Array => packetOf(ART_SYNC, ART_SYNC_LENGTH, { aux1: 0, aux2: 0 });

/** A packet for one Port-Address with 512 slots at 0 and without a sequence number; {@link fillArtDmx} is for what changes. */
export function artDmx(portAddress: PortAddress): Uint8Array {
  const address = { subUni: portAddress & 0xff, net: portAddress >> 8 };
  return packetOf(ART_DMX, ART_DMX_LENGTH, { sequence: 0, physical: 0, ...address, length: SLOTS });
}

/** Puts a frame into a packet of {@link artDmx}. `sequence` is 1..255; 0 would tell the receiver not to look at it. */
export function fillArtDmx(packet: Uint8Array, sequence: number, slots: Uint8Array): void {
  ART_DMX.sequence.put(packet, sequence);
  packet.set(slots, ART_DMX_SLOTS);
}
