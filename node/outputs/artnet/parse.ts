import { SLOTS } from '../../core/levels.ts';
import type { PortAddress } from '../../core/units.ts';
import { read } from '../packet-table.ts';
import { OP_CODES, type OpCodeName, opCodeName } from './op-codes.ts';
import {
  ART_DMX,
  ART_DMX_SLOTS,
  ART_POLL,
  ART_POLL_REPLY,
  ART_POLL_REPLY_SHORTEST,
  ART_POLL_SHORTEST,
  ART_SYNC_LENGTH,
  HEADER,
  HEADER_LENGTH,
  MOST_PORTS,
  POLL_FLAGS,
  PORT_TYPES,
  type PollReply,
  PROTOCOL_VERSION,
  portAddressOf,
} from './packets.ts';

export interface PortRange {
  readonly bottom: PortAddress;
  readonly top: PortAddress;
}

export interface ParsedPoll {
  readonly kind: 'poll';
  /** The asker wants a reply whenever something changes, too. */
  readonly replyOnChange: boolean;
  /** Targeted mode: only ports inside it are asked. */
  readonly target: PortRange | undefined;
}
export interface ParsedPollReply {
  readonly kind: 'pollReply';
  readonly reply: PollReply;
  /** Port-Addresses that the device puts out, and those that it feeds into Art-Net. */
  readonly outputs: readonly PortAddress[];
  readonly inputs: readonly PortAddress[];
}
export interface ParsedDmx {
  readonly kind: 'dmx';
  readonly sequence: number;
  readonly physical: number;
  readonly portAddress: PortAddress;
  /** A view into the packet, slot 1 at index 0. */
  readonly slots: Uint8Array;
}
export interface ParsedOther {
  readonly kind: 'other';
  readonly opCode: number;
  readonly name: OpCodeName | undefined;
}
export interface Refused {
  readonly kind: 'refused';
  readonly reason: Refusal;
}
/** `length`: an ArtDmx that gives a number of slots that there cannot be. */
export type Refusal = 'not Art-Net' | 'too short' | 'old version' | 'length' | 'Port-Address' | 'too many ports';
export type ArtnetPacket = ParsedPoll | ParsedPollReply | ParsedDmx | { readonly kind: 'sync' } | ParsedOther | Refused;

/** Reads one datagram. Octets behind the end of a packet are let pass, as later versions may add some. Never throws. */
export function parseArtnet(bytes: Uint8Array): ArtnetPacket {
  if (bytes.length < HEADER.protocolVersion.at) return refused('too short');
  if (!HEADER.id.holds(bytes)) return refused('not Art-Net');
  const opCode = HEADER.opCode.get(bytes);
  if (opCode === OP_CODES.ArtPollReply) return parsePollReply(bytes);
  if (bytes.length < HEADER_LENGTH) return refused('too short');
  if (HEADER.protocolVersion.get(bytes) < PROTOCOL_VERSION) return refused('old version');
  switch (opCode) {
    case OP_CODES.ArtPoll:
      return parsePoll(bytes);
    case OP_CODES.ArtDmx:
      return parseDmx(bytes);
    case OP_CODES.ArtSync:
      return bytes.length < ART_SYNC_LENGTH ? refused('too short') : { kind: 'sync' };
    default:
      return { kind: 'other', opCode, name: opCodeName(opCode) };
  }
}

function parsePoll(bytes: Uint8Array): ParsedPoll | Refused {
  if (bytes.length < ART_POLL_SHORTEST) return refused('too short');
  const { flags, targetBottom, targetTop } = read(bytes, ART_POLL);
  const targeted = (flags & POLL_FLAGS.targeted) !== 0;
  return {
    kind: 'poll',
    replyOnChange: (flags & POLL_FLAGS.replyOnChange) !== 0,
    target: targeted ? { bottom: targetBottom, top: targetTop } : undefined,
  };
}

/** Its Port is not looked at: devices exist that send it byte-swapped, and Art-Net has only one. */
function parsePollReply(bytes: Uint8Array): ParsedPollReply | Refused {
  if (bytes.length < ART_POLL_REPLY_SHORTEST) return refused('too short');
  const reply = read(bytes, ART_POLL_REPLY);
  if (reply.numPorts > MOST_PORTS) return refused('too many ports');
  return {
    kind: 'pollReply',
    reply,
    outputs: ports(reply, PORT_TYPES.output, reply.swOut),
    inputs: ports(reply, PORT_TYPES.input, reply.swIn),
  };
}

function ports(
  { netSwitch, subSwitch, numPorts, portTypes }: PollReply,
  way: number,
  switches: readonly number[],
): readonly PortAddress[] {
  const found = new Set<PortAddress>();
  for (let i = 0; i < numPorts; i++) {
    if (((portTypes[i] ?? 0) & way) !== 0) found.add(portAddressOf(netSwitch, subSwitch, switches[i] ?? 0));
  }
  return [...found];
}

/** Lengths are even, 2 to 512, but receivers take odd ones as well. */
function parseDmx(bytes: Uint8Array): ParsedDmx | Refused {
  if (bytes.length < ART_DMX_SLOTS) return refused('too short');
  const { sequence, physical, subUni, net, length } = read(bytes, ART_DMX);
  if (net > 0x7f) return refused('Port-Address');
  if (length === 0 || length > SLOTS) return refused('length');
  if (bytes.length < ART_DMX_SLOTS + length) return refused('too short');
  return {
    kind: 'dmx',
    sequence,
    physical,
    portAddress: (net << 8) | subUni,
    slots: bytes.subarray(ART_DMX_SLOTS, ART_DMX_SLOTS + length),
  };
}

const refused = (reason: Refusal): Refused => ({ kind: 'refused', reason });
