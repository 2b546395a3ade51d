import type { Table } from './fields.ts';

/** ANSI E1.31-2018 Appendix A. */
export const SACN_PORT = 5568;
export const DISCOVERY_INTERVAL = 10_000;
export const NETWORK_DATA_LOSS_TIMEOUT = 2500;
export const DISCOVERY_UNIVERSE = 64214;
/** Section 9.1.1: universes that carry data, and synchronization addresses. */
export const FIRST_UNIVERSE = 1;
export const LAST_UNIVERSE = 63999;
/** Section 6.2.3. */
export const HIGHEST_PRIORITY = 200;
/** Section 8.5: one page of universe discovery lists no more. */
export const UNIVERSES_PER_PAGE = 512;

const ROOT_DATA = 0x00000004;
const ROOT_EXTENDED = 0x00000008;

/** Section 5, the same in all packets: the columns of Tables 4-1, 4-2 and 4-3 up to the CID. */
export const rootLayer = {
  preambleSize: { at: 0, size: 2, is: 0x0010 },
  postambleSize: { at: 2, size: 2, is: 0x0000 },
  // "ASC-E1.17" and three zeros.
  identifier: { at: 4, size: 12, is: [0x41, 0x53, 0x43, 0x2d, 0x45, 0x31, 0x2e, 0x31, 0x37, 0, 0, 0] },
  rootLength: { at: 16, size: 2, is: 'length' },
  rootVector: { at: 18, size: 4 },
  cid: { at: 22, size: 16 },
  framingLength: { at: 38, size: 2, is: 'length' },
  framingVector: { at: 40, size: 4 },
} as const satisfies Table;

const withVectors = <Root extends number, Framing extends number>(root: Root, framing: Framing) =>
  ({
    ...rootLayer,
    rootVector: { ...rootLayer.rootVector, is: root },
    framingVector: { ...rootLayer.framingVector, is: framing },
  }) as const;

/** Table 4-1, E1.31 Data Packet: 126 octets and the slots (sections 5, 6.2 and 7). */
export const dataPacket = {
  ...withVectors(ROOT_DATA, 0x00000002),
  sourceName: { at: 44, size: 64 },
  priority: { at: 108, size: 1 },
  synchronizationAddress: { at: 109, size: 2 },
  sequence: { at: 111, size: 1 },
  options: { at: 112, size: 1 },
  universe: { at: 113, size: 2 },
  dmpLength: { at: 115, size: 2, is: 'length' },
  dmpVector: { at: 117, size: 1, is: 0x02 },
  addressAndDataType: { at: 118, size: 1, is: 0xa1 },
  firstPropertyAddress: { at: 119, size: 2, is: 0x0000 },
  addressIncrement: { at: 121, size: 2, is: 0x0001 },
  // The START code counts as one.
  propertyValueCount: { at: 123, size: 2 },
  startCode: { at: 125, size: 1 },
} as const satisfies Table;
export const SLOTS_AT = 126;

/** Section 6.2.6: bits of `options`. Bits 4..0 are sent as zero and ignored. */
export const PREVIEW_DATA = 0x80;
export const STREAM_TERMINATED = 0x40;
export const FORCE_SYNCHRONIZATION = 0x20;

/** Table 4-2, E1.31 Synchronization Packet: 49 octets (sections 5 and 6.3). */
export const syncPacket = {
  ...withVectors(ROOT_EXTENDED, 0x00000001),
  sequence: { at: 44, size: 1 },
  synchronizationAddress: { at: 45, size: 2 },
  reserved: { at: 47, size: 2 },
} as const satisfies Table;
export const SYNC_LENGTH = 49;

/** Table 4-3, E1.31 Universe Discovery Packet: 120 octets and two for every universe (sections 5, 6.4 and 8). */
export const discoveryPacket = {
  ...withVectors(ROOT_EXTENDED, 0x00000002),
  sourceName: { at: 44, size: 64 },
  reserved: { at: 108, size: 4 },
  discoveryLength: { at: 112, size: 2, is: 'length' },
  discoveryVector: { at: 114, size: 4, is: 0x00000001 },
  page: { at: 118, size: 1 },
  lastPage: { at: 119, size: 1 },
} as const satisfies Table;
export const UNIVERSES_AT = 120;
