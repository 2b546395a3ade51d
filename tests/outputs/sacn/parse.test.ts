import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fillData, fillSync, newDataPacket, newDiscoveryPackets, newSyncPacket } from '../../../node/outputs/sacn/packets.ts';
import { parseSacn } from '../../../node/outputs/sacn/parse.ts';

const source = { cid: Uint8Array.from({ length: 16 }, (_, i) => i + 1), name: 'Tent' };
const fields = { universe: 5, priority: 100, synchronizationAddress: 0, options: 0 };
const data = (): Uint8Array => newDataPacket(source, fields);
const sync = (): Uint8Array => newSyncPacket(source, 7);
const discovery = (): Uint8Array => newDiscoveryPackets(source, [3, 5])[0] as Uint8Array;

function changed(packet: Uint8Array, at: number, ...octets: number[]): Uint8Array {
  packet.set(octets, at);
  return packet;
}

describe('refuses', () => {
  // E1.31-2018 sections 5.1 to 5.5, 6.2 to 6.4, 7.1 to 7.7, 8.1 to 8.5: what a receiver discards, or what must not be sent.
  it.each([
    ['nothing at all', new Uint8Array(0), 'size'],
    ['less than any packet has', data().subarray(0, 43), 'size'],
    ['another preamble size', changed(data(), 0, 0x00, 0x11), 'preambleSize'],
    ['another post-amble size', changed(data(), 2, 0x00, 0x01), 'postambleSize'],
    ['another protocol', changed(data(), 15, 0x01), 'identifier'],
    ['root flags other than 7', changed(data(), 16, 0x62), 'rootLength'],
    ['a root length that is not the datagram’s', changed(data(), 16, 0x72, 0x6f), 'rootLength'],
    ['a datagram cut short', data().subarray(0, 637), 'rootLength'],
    ['a datagram with something behind', Uint8Array.from([...data(), 0]), 'rootLength'],
    ['an unknown root vector', changed(data(), 18, 0, 0, 0, 5), 'rootVector'],
    ['a framing length that is off', changed(data(), 38, 0x72, 0x57), 'framingLength'],
    ['an unknown framing vector of data', changed(data(), 40, 0, 0, 0, 1), 'framingVector'],
    ['an unknown framing vector of the extended kind', changed(sync(), 40, 0, 0, 0, 3), 'framingVector'],
    ['a priority above 200', changed(data(), 108, 201), 'priority'],
    ['a synchronization address above 63999', changed(data(), 109, 0xfa, 0x00), 'synchronizationAddress'],
    ['universe 0', changed(data(), 113, 0, 0), 'universe'],
    ['universe 64000', changed(data(), 113, 0xfa, 0x00), 'universe'],
    ['the discovery universe as data', changed(data(), 113, 0xfa, 0xd6), 'universe'],
    ['a DMP length that is off', changed(data(), 115, 0x72, 0x0c), 'dmpLength'],
    ['another DMP vector', changed(data(), 117, 1), 'dmpVector'],
    ['another address type', changed(data(), 118, 0xa2), 'addressAndDataType'],
    ['another first address', changed(data(), 119, 0, 1), 'firstPropertyAddress'],
    ['another increment', changed(data(), 121, 0, 2), 'addressIncrement'],
    ['a property count that is off', changed(data(), 123, 0x02, 0x00), 'propertyValueCount'],
    ['more than 512 slots', newDataPacket(source, { ...fields, slots: 513 }), 'size'],
    ['synchronization address 0', changed(sync(), 45, 0, 0), 'synchronizationAddress'],
    ['synchronization address 64000', changed(sync(), 45, 0xfa, 0x00), 'synchronizationAddress'],
    ['a discovery length that is off', changed(discovery(), 112, 0x70, 0x0b), 'discoveryLength'],
    ['another discovery vector', changed(discovery(), 114, 0, 0, 0, 2), 'discoveryVector'],
    ['a page behind the last', changed(discovery(), 118, 1, 0), 'page'],
    ['a list with universe 0', changed(discovery(), 120, 0, 0), 'universes'],
  ])('%s', (_, packet, reason) => {
    expect(parseSacn(packet)).toEqual({ kind: 'refused', reason });
  });

  it('packets of the right lengths but too few or too many octets for their kind', () => {
    const sized = (packet: Uint8Array, length: number): Uint8Array => {
      const all = new Uint8Array(length);
      all.set(packet.subarray(0, length));
      for (const at of [16, 38]) new DataView(all.buffer).setUint16(at, 0x7000 + length - at);
      return all;
    };
    for (const packet of [
      sized(data(), 125),
      sized(sync(), 48),
      sized(sync(), 50),
      sized(discovery(), 119),
      sized(discovery(), 121),
    ]) {
      expect(parseSacn(packet)).toEqual({ kind: 'refused', reason: 'size' });
    }
    expect(parseSacn(sized(discovery(), 1146))).toEqual({ kind: 'refused', reason: 'size' });
  });
});

describe('takes', () => {
  // E1.31-2018 sections 6.2.6, 6.3.4 and 6.4.3: reserved bits and octets are ignored.
  it('whatever stands in reserved places', () => {
    expect(parseSacn(changed(data(), 112, 0x1f))).toMatchObject({ kind: 'data', preview: false, terminated: false });
    expect(parseSacn(changed(sync(), 47, 0xff, 0xfe))).toMatchObject({ kind: 'sync', synchronizationAddress: 7 });
    expect(parseSacn(changed(discovery(), 108, 255, 254, 253, 252))).toMatchObject({ kind: 'discovery', universes: [3, 5] });
  });

  // Section 6.2.6, Table 6-6: bits 7, 6 and 5.
  it.each([
    [0x80, { preview: true, terminated: false, forceSynchronization: false }],
    [0x40, { preview: false, terminated: true, forceSynchronization: false }],
    [0x20, { preview: false, terminated: false, forceSynchronization: true }],
  ])('option bits %i', (options, told) => {
    expect(parseSacn(changed(data(), 112, options))).toMatchObject(told);
  });

  it('alternate START codes', () => {
    expect(parseSacn(changed(data(), 125, 0xdd))).toMatchObject({ kind: 'data', startCode: 0xdd });
  });

  it('names that are not ended by a zero, or no UTF-8', () => {
    expect(parseSacn(changed(data(), 44, ...Array<number>(64).fill(0x61)))).toMatchObject({ sourceName: 'a'.repeat(64) });
    expect(parseSacn(changed(data(), 44, 0xff, 0x41, 0))).toMatchObject({ sourceName: '\ufffdA' });
  });
});

describe('properties', () => {
  const octets = (length: number) => fc.uint8Array({ minLength: length, maxLength: length });
  const universe = fc.integer({ min: 1, max: 63999 });
  const name = fc.string({ unit: 'grapheme', maxLength: 15 }).filter((text) => !text.includes('\0'));

  it('survives any octets', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 1300 }), (bytes) => {
        expect(parseSacn(bytes).kind).toBe('refused');
      }),
    );
  });

  it('survives a good packet with any octets put somewhere, cut anywhere', () => {
    const good = fc.constantFrom(data, sync, discovery).map((make) => make());
    fc.assert(
      fc.property(good, fc.nat(), fc.uint8Array({ maxLength: 8 }), fc.nat(), (packet, at, patch, end) => {
        packet.set(patch, at % (packet.length - patch.length));
        expect(parseSacn(packet).kind).toBeTypeOf('string');
        const cut = end % packet.length;
        expect(parseSacn(packet.subarray(0, cut)).kind).toBe('refused');
      }),
      { numRuns: 500 },
    );
  });

  it('reads back data packets as they were written', () => {
    const priority = fc.integer({ min: 0, max: 200 });
    const sequence = fc.integer({ min: 0, max: 255 });
    const slots = fc.uint8Array({ maxLength: 512 });
    fc.assert(
      fc.property(
        octets(16),
        name,
        universe,
        priority,
        fc.nat(63999),
        sequence,
        slots,
        (cid, text, at, level, address, number, values) => {
          const options = { universe: at, priority: level, synchronizationAddress: address, options: 0, slots: values.length };
          const packet = newDataPacket({ cid, name: text }, options);
          fillData(packet, number, values);
          expect(parseSacn(packet)).toMatchObject({
            kind: 'data',
            cid,
            sourceName: Buffer.byteLength(text) <= 63 ? text : expect.any(String),
            universe: at,
            priority: level,
            synchronizationAddress: address,
            sequence: number,
            startCode: 0,
            slots: values,
          });
        },
      ),
    );
  });

  it('reads back synchronization and discovery packets as they were written', () => {
    const list = fc.uniqueArray(universe, { maxLength: 600 }).map((all) => all.sort((a, b) => a - b));
    fc.assert(
      fc.property(octets(16), universe, fc.nat(255), list, (cid, address, sequence, universes) => {
        const packet = newSyncPacket({ cid, name: '' }, address);
        fillSync(packet, sequence);
        expect(parseSacn(packet)).toEqual({ kind: 'sync', cid, sequence, synchronizationAddress: address });
        const pages = newDiscoveryPackets({ cid, name: 'Tent' }, universes).map(parseSacn);
        expect(pages.flatMap((page) => (page.kind === 'discovery' ? page.universes : [Number.NaN]))).toEqual(universes);
      }),
      { numRuns: 50 },
    );
  });
});
