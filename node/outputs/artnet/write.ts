import { SLOTS } from '../../core/levels.ts';
import type { PortAddress } from '../../core/units.ts';
import { type ValuesOf, write } from './layout.ts';
import { OP_CODES } from './op-codes.ts';
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
  ARTNET_ID,
  HEADER,
  type PollReply,
  PROTOCOL_VERSION,
} from './packets.ts';

export function artPoll(values: ValuesOf<typeof ART_POLL>): Uint8Array {
  const packet = begun(OP_CODES.ArtPoll, ART_POLL_LENGTH);
  write(packet, ART_POLL, values);
  return packet;
}

export function artPollReply(values: PollReply): Uint8Array {
  const packet = begun(OP_CODES.ArtPollReply, ART_POLL_REPLY_LENGTH);
  write(packet, ART_POLL_REPLY, values);
  return packet;
}

export function artSync(): Uint8Array {
  const packet = begun(OP_CODES.ArtSync, ART_SYNC_LENGTH);
  write(packet, ART_SYNC, { aux1: 0, aux2: 0 });
  return packet;
}

/** A packet for one Port-Address with 512 slots at 0 and without a sequence number; {@link fillArtDmx} is for what changes. */
export function artDmx(portAddress: PortAddress): Uint8Array {
  const packet = begun(OP_CODES.ArtDmx, ART_DMX_LENGTH);
  write(packet, ART_DMX, { sequence: 0, physical: 0, subUni: portAddress & 0xff, net: portAddress >> 8, length: SLOTS });
  return packet;
}

/** Puts a frame into a packet of {@link artDmx}. `sequence` is 1..255; 0 would tell the receiver not to look at it. */
export function fillArtDmx(packet: Uint8Array, sequence: number, slots: Uint8Array): void {
  ART_DMX.sequence.put(packet, sequence);
  packet.set(slots, ART_DMX_SLOTS);
}

function begun(opCode: number, length: number): Uint8Array {
  const packet = new Uint8Array(length);
  // The version goes first: in an ArtPollReply the IP address will overwrite it.
  write(packet, HEADER, { id: ARTNET_ID, opCode, protocolVersion: PROTOCOL_VERSION });
  return packet;
}
