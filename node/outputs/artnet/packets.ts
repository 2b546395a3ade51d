import { SLOTS } from '../../core/levels.ts';
import type { PortAddress } from '../../core/units.ts';
import { ascii, fixed, fixedOctets, highFirst, ip, lowFirst, mac, octet, octets, type ValuesOf } from '../packet-table.ts';
import { OP_CODES } from './op-codes.ts';

/** The line that the owner of Art-Net asks every implementer to print; the README and the command line show it. */
export const ARTNET_CREDIT = 'Art-Net™ Designed by and Copyright Artistic Licence Engineering Ltd';

/** Art-Net 4: every packet goes to this UDP port, and comes from it. */
export const ARTNET_PORT = 0x1936;
/** Receivers take this version and later ones. */
export const PROTOCOL_VERSION = 14;
/** What every packet begins with. ArtPollReply alone has no ProtVer: its own fields begin at 10. */
export const HEADER = {
  // "Art-Net" and a NUL.
  id: fixedOctets(0, [0x41, 0x72, 0x74, 0x2d, 0x4e, 0x65, 0x74, 0x00]),
  opCode: lowFirst(8),
  protocolVersion: fixed(highFirst(10), PROTOCOL_VERSION),
};
export const HEADER_LENGTH = 12;
const headerOf = (opCode: number) => ({ ...HEADER, opCode: fixed(HEADER.opCode, opCode) });

/** Art-Net 4, packet definition of ArtPoll. */
export const ART_POLL = {
  ...headerOf(OP_CODES.ArtPoll),
  flags: octet(12),
  diagPriority: octet(13),
  targetTop: highFirst(14),
  targetBottom: highFirst(16),
  estaMan: highFirst(18),
  oem: highFirst(20),
};
export const ART_POLL_LENGTH = 22;
/** The packet has grown; the older, shorter form counts, with zeros for what it lacks. */
export const ART_POLL_SHORTEST = 14;
/** Bits of ArtPoll's Flags. */
export const POLL_FLAGS = {
  replyOnChange: 1 << 1,
  diagnostics: 1 << 2,
  diagnosticsUnicast: 1 << 3,
  noVlc: 1 << 4,
  targeted: 1 << 5,
} as const;

/** Art-Net 4, packet definition of ArtPollReply. EstaMan is low byte first here, high byte first in ArtPoll. */
export const ART_POLL_REPLY = {
  id: HEADER.id,
  opCode: fixed(HEADER.opCode, OP_CODES.ArtPollReply),
  ip: ip(10),
  port: lowFirst(14),
  firmware: highFirst(16),
  netSwitch: octet(18),
  subSwitch: octet(19),
  oem: highFirst(20),
  ubeaVersion: octet(22),
  status1: octet(23),
  estaMan: lowFirst(24),
  shortName: ascii(26, 18),
  longName: ascii(44, 64),
  nodeReport: ascii(108, 64),
  numPorts: highFirst(172),
  portTypes: octets(174, 4),
  goodInput: octets(178, 4),
  goodOutputA: octets(182, 4),
  swIn: octets(186, 4),
  swOut: octets(190, 4),
  acnPriority: octet(194),
  swMacro: octet(195),
  swRemote: octet(196),
  style: octet(200),
  mac: mac(201),
  bindIp: ip(207),
  bindIndex: octet(211),
  status2: octet(212),
  goodOutputB: octets(213, 4),
  status3: octet(217),
  responderUid: octets(218, 6),
  user: highFirst(224),
  refreshRate: highFirst(226),
  queuePolicy: octet(228),
};
export type PollReply = ValuesOf<typeof ART_POLL_REPLY>;
export const ART_POLL_REPLY_LENGTH = 239;
export const ART_POLL_REPLY_SHORTEST = 207;
export const MOST_PORTS = 4;
/** Bits of PortTypes: which way a port works. The low six give its protocol, 0 for DMX512. */
export const PORT_TYPES = { output: 1 << 7, input: 1 << 6 } as const;
export const STYLES = { node: 0, controller: 1, media: 2, route: 3, backup: 4, config: 5, visual: 6 } as const;
export const STATUS2 = { port15bit: 1 << 3 } as const;
export const GOOD_INPUT = { dataReceived: 1 << 7 } as const;

/** Art-Net 4, packet definition of ArtDmx. Slot 1 comes first, there is no START code. */
export const ART_DMX = {
  ...headerOf(OP_CODES.ArtDmx),
  sequence: octet(12),
  physical: octet(13),
  subUni: octet(14),
  net: octet(15),
  length: highFirst(16),
};
export const ART_DMX_SLOTS = 18;
export const ART_DMX_LENGTH = ART_DMX_SLOTS + SLOTS;

/** Art-Net 4, packet definition of ArtSync. */
export const ART_SYNC = { ...headerOf(OP_CODES.ArtSync), aux1: octet(12), aux2: octet(13) };
export const ART_SYNC_LENGTH = 14;

/** Net in 7 bits, Sub-Net and Universe in 4 each. Bits that a sender set beyond them do not count. */
export const portAddressOf = (net: number, subNet: number, universe: number): PortAddress =>
  ((net & 0x7f) << 8) | ((subNet & 0x0f) << 4) | (universe & 0x0f);
