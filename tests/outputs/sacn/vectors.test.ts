import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { FIRST_UNIVERSE, LAST_UNIVERSE } from '../../../node/core/output-settings.ts';
import {
  fillData,
  fillSync,
  newDataPacket,
  newDiscoveryPackets,
  newSyncPacket,
  type Source,
} from '../../../node/outputs/sacn/packets.ts';
import * as tables from '../../../node/outputs/sacn/tables.ts';
import { groupOf } from '../../../node/outputs/sacn/tables.ts';

/** The component of E1.31-2018 Appendix B. */
const sourceA: Source = { cid: Buffer.from('ef07c8dd00644401a3a2459ef8e6143e', 'hex'), name: 'Source_A' };
const fieldsA = { universe: 1, priority: 100, synchronizationAddress: 7962, options: 0 };

const hex = (bytes: Uint8Array): string => Buffer.from(bytes).toString('hex');
const word = (bytes: Uint8Array, at: number): number => Buffer.from(bytes).readUInt16BE(at);

describe('packets printed in E1.31-2018 Appendix B', () => {
  it('Table B-13: the data packet, octet for octet', () => {
    const printed = readFileSync(new URL('../../truth/e131-table-b13.hex', import.meta.url), 'utf8').trim();
    expect(printed).toHaveLength(2 * 638);
    const packet = newDataPacket(sourceA, fieldsA);
    fillData(packet, 154, new Uint8Array(512));
    expect(hex(packet)).toBe(printed);
  });

  // The sequence number is printed as 367, which no octet holds; so octet 44 is left out.
  it('Table B-14: the synchronization packet, but for octet 44', () => {
    const printed = `0010 0000 4153432d45312e3137000000 7021 00000008 ef07c8dd00644401a3a2459ef8e6143e 700b 00000001 .. 1f1a 0000`;
    const packet = newSyncPacket(sourceA, 7962);
    fillSync(packet, 0x6f);
    expect(hex(packet)).toMatch(new RegExp(`^${printed.replaceAll(' ', '')}$`));
    expect(packet).toHaveLength(49);
  });
});

describe('packets of other published encoders', () => {
  // RustLight/sacn, tests/discovery_parse_tests.rs, TEST_UNIVERSE_DISCOVERY_PACKET, but for its page numbers (1 of 2).
  it('a discovery page of three universes', () => {
    const published =
      '0010 0000 4153432d45312e3137000000 706e 00000008 ef07c8dd00644401a3a2459ef8e6143e' +
      `7058 00000002 536f757263655f41 ${'00'.repeat(56)} 00000000 700e 00000001 0000 0001 0203 0405`;
    const pages = newDiscoveryPackets(sourceA, [0x0001, 0x0203, 0x0405]);
    expect(pages.map(hex)).toEqual([published.replaceAll(' ', '')]);
  });

  // The same library, tests/data_parse_tests.rs: TEST_DATA_PACKET_PARTIAL and _EMPTY; and Table B-13 above.
  it.each([
    [512, 0x726e, 0x7258, 0x720b, 0x0201],
    [29, 0x708b, 0x7075, 0x7028, 0x001e],
    [0, 0x706e, 0x7058, 0x700b, 0x0001],
  ])('a data packet of %i slots bears the right lengths', (slots, root, framing, dmp, count) => {
    const packet = newDataPacket(sourceA, { ...fieldsA, slots });
    expect([word(packet, 16), word(packet, 38), word(packet, 115), word(packet, 123)]).toEqual([root, framing, dmp, count]);
    // E1.31-2018 section 6.1: 126 octets and the slots.
    expect(packet).toHaveLength(126 + slots);
  });
});

// E1.31-2018 section 8 and Table 4-3: 120 to 1144 octets; no more than 512 universes a page.
describe('discovery pages', () => {
  it.each([
    [0, [120]],
    [1, [122]],
    [512, [1144]],
    [513, [1144, 122]],
    [1025, [1144, 1144, 122]],
  ])('%i universes', (count, lengths) => {
    const universes = Array.from({ length: count }, (_, i) => i + 1);
    const pages = newDiscoveryPackets(sourceA, universes);
    expect(pages.map((page) => page.length)).toEqual(lengths);
    expect(pages.map((page) => [page[118], page[119]])).toEqual(lengths.map((_, i) => [i, lengths.length - 1]));
    const listed = pages.flatMap((page) => Array.from({ length: (page.length - 120) / 2 }, (_, i) => word(page, 120 + 2 * i)));
    expect(listed).toEqual(universes);
  });
});

// E1.31-2018 section 6.2.2: UTF-8, null-terminated, in 64 octets. Octets by RFC 3629.
describe('source names', () => {
  it.each([
    ['short', 'Zelt', '5a656c74'],
    ['of two-octet characters', 'Bühne', '42c3bc686e65'],
    ['cut before a character that does not fit', `${'a'.repeat(62)}ü!`, '61'.repeat(62)],
    ['cut before a character of four octets', `${'a'.repeat(60)}🎈`, '61'.repeat(60)],
    ['of just 63 octets', `${'a'.repeat(61)}ü`, `${'61'.repeat(61)}c3bc`],
    ['far too long', 'x'.repeat(500), '78'.repeat(63)],
  ])('%s', (_, name, octets) => {
    const padded = octets.padEnd(128, '0');
    expect(hex(newDataPacket({ ...sourceA, name }, fieldsA).subarray(44, 108))).toBe(padded);
    expect(hex((newDiscoveryPackets({ ...sourceA, name }, [1])[0] as Uint8Array).subarray(44, 108))).toBe(padded);
  });
});

// E1.31-2018 Appendix A, and sections 6.2.3 and 9.1.1.
it('the parameters', () => {
  expect(tables).toMatchObject({
    SACN_PORT: 5568,
    DISCOVERY_INTERVAL: 10_000,
    NETWORK_DATA_LOSS_TIMEOUT: 2500,
    DISCOVERY_UNIVERSE: 64214,
    HIGHEST_PRIORITY: 200,
    UNIVERSES_PER_PAGE: 512,
  });
  expect([FIRST_UNIVERSE, LAST_UNIVERSE]).toEqual([1, 63999]);
  expect(tables.dataPacket.rootVector.is).toBe(0x00000004);
  expect(tables.dataPacket.framingVector.is).toBe(0x00000002);
  expect(tables.dataPacket.dmpVector.is).toBe(0x02);
  expect(tables.syncPacket.rootVector.is).toBe(0x00000008);
  expect(tables.syncPacket.framingVector.is).toBe(0x00000001);
  expect(tables.discoveryPacket.rootVector.is).toBe(0x00000008);
  expect(tables.discoveryPacket.framingVector.is).toBe(0x00000002);
  expect(tables.discoveryPacket.discoveryVector.is).toBe(0x00000001);
});

// E1.31-2018 section 9.3; the examples of RustLight/sacn's tests and of ETCLabs/sACN's sockets.c.
describe('multicast groups', () => {
  it.each([
    [1, '239.255.0.1', 'ff18::8300:1'],
    [300, '239.255.1.44', 'ff18::8300:12c'],
    [63999, '239.255.249.255', 'ff18::8300:f9ff'],
    [64214, '239.255.250.214', 'ff18::8300:fad6'],
  ])('of universe %i', (universe, v4, v6) => {
    expect(groupOf('IPv4', universe)).toBe(v4);
    expect(groupOf('IPv6', universe)).toBe(v6);
  });
});
