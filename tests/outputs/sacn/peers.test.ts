import { createRequire } from 'node:module';
import { Packet } from 'sacn';
import { describe, expect, it } from 'vitest';
import { fillData, newDataPacket, terminationOf } from '../../../node/outputs/sacn/packets.ts';
import { parseSacn } from '../../../node/outputs/sacn/parse.ts';
import { groupOf } from '../../../node/outputs/sacn/tables.ts';

/**
 * Two published libraries as independent peers, held against our bytes inside what they can do: data packets, ASCII names.
 * Neither knows synchronization, discovery or termination.
 */
const require = createRequire(import.meta.url);
const E131Packet = require('e131/lib/e131/packet.js');

const cid = Buffer.from('0f1e2d3c4b5a69788796a5b4c3d2e1f0', 'hex');
const slots = Uint8Array.from({ length: 512 }, (_, i) => (i * 37 + 11) & 0xff);
const packet = newDataPacket(
  { cid, name: 'Barn north' },
  { universe: 4711, priority: 142, synchronizationAddress: 300, options: 0 },
);
fillData(packet, 77, slots);

describe('npm e131 1.1', () => {
  it('reads our data packet', () => {
    const read = new E131Packet(Buffer.from(packet));
    expect(read.validate()).toBe(0);
    expect(read.getCID()).toEqual(cid);
    expect(read.getSourceName().replace(/\0+$/, '')).toBe('Barn north');
    expect(read.getPriority()).toBe(142);
    expect(read.getSequenceNumber()).toBe(77);
    expect(read.getUniverse()).toBe(4711);
    expect(Uint8Array.from(read.getSlotsData())).toEqual(slots);
    expect(read.getOption(read.Options.TERMINATED)).toBe(false);
  });

  it('sees that a stream is terminated', () => {
    const read = new E131Packet(Buffer.from(terminationOf(packet, 78)));
    expect(read.validate()).toBe(0);
    expect(read.getSequenceNumber()).toBe(78);
    expect(read.getOption(read.Options.TERMINATED)).toBe(true);
    expect(read.getOption(read.Options.PREVIEW)).toBe(false);
  });

  it.each([1, 24, 511, 512])('writes the octets that we write, for %i slots', (count) => {
    const theirs = new E131Packet(count);
    theirs.setCID(cid);
    theirs.setSourceName('Barn north');
    theirs.setPriority(142);
    theirs.setUniverse(4711);
    theirs.setSequenceNumber(200);
    theirs.setSlotsData(Buffer.from(slots.subarray(0, count)));
    const ours = newDataPacket(
      { cid, name: 'Barn north' },
      { universe: 4711, priority: 142, synchronizationAddress: 0, options: 0, slots: count },
    );
    fillData(ours, 200, slots.subarray(0, count));
    expect(Buffer.from(ours).toString('hex')).toBe(theirs.getBuffer().toString('hex'));
  });

  it('writes what our parser takes', () => {
    const theirs = new E131Packet(24);
    theirs.setUniverse(9);
    theirs.setOption(theirs.Options.PREVIEW, true);
    expect(parseSacn(theirs.getBuffer())).toMatchObject({
      kind: 'data',
      universe: 9,
      priority: 100,
      preview: true,
      terminated: false,
    });
  });
});

describe('npm sacn 4.6', () => {
  it('reads our data packet', () => {
    const read = new Packet(Buffer.from(packet));
    expect(read).toMatchObject({
      sourceName: 'Barn north',
      priority: 142,
      sequence: 77,
      universe: 4711,
      syncUniverse: 300,
      options: 0,
    });
    expect(read.cid).toEqual(cid);
    expect(read.payloadAsBuffer && Uint8Array.from(read.payloadAsBuffer)).toEqual(slots);
  });

  it('writes the octets that we write', () => {
    const payload = Object.fromEntries([...slots].map((value, i) => [i + 1, value]));
    const theirs = new Packet({
      universe: 4711,
      priority: 142,
      sequence: 200,
      sourceName: 'Barn north',
      cid,
      payload,
      useRawDmxValues: true,
    });
    const ours = newDataPacket(
      { cid, name: 'Barn north' },
      { universe: 4711, priority: 142, synchronizationAddress: 0, options: 0 },
    );
    fillData(ours, 200, slots);
    expect(Buffer.from(ours).toString('hex')).toBe(theirs.buffer.toString('hex'));
  });

  it('sends to the groups that we send to', () => {
    const { multicastGroup } = require('sacn/dist/util.js');
    for (const universe of [1, 255, 256, 257, 4711, 63999, 64214]) expect(groupOf('IPv4', universe)).toBe(multicastGroup(universe));
  });
});
