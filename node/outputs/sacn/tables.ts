import type { Universe } from '../../core/units.ts';
import { derived, type Field, fixed, fixedOctets, fourHighFirst, highFirst, octet, utf8, view } from '../packet-table.ts';

/** ANSI E1.31-2018 Appendix A. */
export const SACN_PORT = 5568;
export const DISCOVERY_INTERVAL = 10_000;
export const NETWORK_DATA_LOSS_TIMEOUT = 2500;
export const DISCOVERY_UNIVERSE = 64214;

/**
 * Section 9.3: the group of a universe, of a synchronization address or of universe discovery.
 * IPv4: 239.255 and the number; IPv6: FF18::8300 and the number.
 */
export const groupOf = (family: 'IPv4' | 'IPv6', universe: Universe): string =>
  family === 'IPv4' ? `239.255.${universe >> 8}.${universe & 0xff}` : `ff18::8300:${universe.toString(16)}`;

/** Section 6.2.3. */
export const HIGHEST_PRIORITY = 200;
/** Section 8.5: one page of universe discovery lists no more. */
export const UNIVERSES_PER_PAGE = 512;

const ROOT_DATA = 0x00000004;
const ROOT_EXTENDED = 0x00000008;

/** Section 4.1: 0x7 in the top four bits, in the other twelve the number of octets from here to the end of the packet. */
const flagsAndLength = (at: number) => derived(highFirst(at), (packet) => 0x7000 + packet.length - at);

/** Section 5, the same in all packets: the columns of Tables 4-1, 4-2 and 4-3 up to the CID. */
export const rootLayer = {
  preambleSize: fixed(highFirst(0), 0x0010),
  postambleSize: fixed(highFirst(2), 0x0000),
  // "ASC-E1.17" and three zeros.
  identifier: fixedOctets(4, [0x41, 0x53, 0x43, 0x2d, 0x45, 0x31, 0x2e, 0x31, 0x37, 0, 0, 0]),
  rootLength: flagsAndLength(16),
  rootVector: fourHighFirst(18),
  cid: view(22, 16),
  framingLength: flagsAndLength(38),
  framingVector: fourHighFirst(40),
};

const withVectors = <Root extends number, Framing extends number>(root: Root, framing: Framing) => ({
  ...rootLayer,
  rootVector: fixed(rootLayer.rootVector, root),
  framingVector: fixed(rootLayer.framingVector, framing),
});

/** Table 4-1, E1.31 Data Packet: 126 octets and the slots (sections 5, 6.2 and 7). */
export const dataPacket = {
  ...withVectors(ROOT_DATA, 0x00000002),
  sourceName: utf8(44, 64),
  priority: octet(108),
  synchronizationAddress: highFirst(109),
  sequence: octet(111),
  options: octet(112),
  universe: highFirst(113),
  dmpLength: flagsAndLength(115),
  dmpVector: fixed(octet(117), 0x02),
  addressAndDataType: fixed(octet(118), 0xa1),
  firstPropertyAddress: fixed(highFirst(119), 0x0000),
  addressIncrement: fixed(highFirst(121), 0x0001),
  // The START code counts as one.
  propertyValueCount: highFirst(123),
  startCode: octet(125),
};
export const SLOTS_AT = 126;

/** Section 6.2.6: bits of `options`. Bits 4..0 are sent as zero and ignored. */
export const PREVIEW_DATA = 0x80;
export const STREAM_TERMINATED = 0x40;
export const FORCE_SYNCHRONIZATION = 0x20;

/** Table 4-2, E1.31 Synchronization Packet: 49 octets (sections 5 and 6.3). */
export const syncPacket = {
  ...withVectors(ROOT_EXTENDED, 0x00000001),
  sequence: octet(44),
  synchronizationAddress: highFirst(45),
};
/** The last two octets are reserved: sent as zero and ignored. */
export const SYNC_LENGTH = 49;

/** Table 4-3, E1.31 Universe Discovery Packet: 120 octets and two for every universe (sections 5, 6.4 and 8). Octets 108..111 are reserved. */
export const discoveryPacket = {
  ...withVectors(ROOT_EXTENDED, 0x00000002),
  sourceName: utf8(44, 64),
  discoveryLength: flagsAndLength(112),
  discoveryVector: fixed(fourHighFirst(114), 0x00000001),
  page: octet(118),
  lastPage: octet(119),
};
const UNIVERSES_AT = 120;
/** Octets of a page that lists so many universes. */
export const discoveryLength = (universes: number): number => UNIVERSES_AT + 2 * universes;
/** The place of the universe that is listed as the `i`th, from 0. */
export const listedUniverse = (i: number): Field<number> => highFirst(UNIVERSES_AT + 2 * i);
