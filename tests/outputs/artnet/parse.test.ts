import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parseArtnet } from '../../../node/outputs/artnet/parse.ts';
import { artDmx, artPoll, artPollReply, fillArtDmx } from '../../../node/outputs/artnet/write.ts';
import { nodeReply, poll } from './by-hand.ts';

const fromHex = (text: string): Uint8Array => Uint8Array.from(Buffer.from(text.replaceAll(' ', ''), 'hex'));
const ID = '41 72 74 2d 4e 65 74 00';
const refused = (reason: string) => ({ kind: 'refused', reason });
const dmxHead = (subUni: string, net: string, length: string): string => `${ID} 00 50 00 0e 05 02 ${subUni} ${net} ${length}`;

describe('reading ArtPoll', () => {
  it('takes the 14 octets of the older form, as if the rest were zero', () => {
    expect(parseArtnet(fromHex(`${ID} 00 20 00 0e 02 00`))).toEqual({ kind: 'poll', replyOnChange: true, target: undefined });
    expect(parseArtnet(fromHex(`${ID} 00 20 00 0e 20 00`))).toEqual({
      kind: 'poll',
      replyOnChange: false,
      target: { bottom: 0, top: 0 },
    });
  });

  it('finds the range of targeted mode, top first', () => {
    const bytes = fromHex(`${ID} 00 20 00 0e 20 00 01 05 01 02 00 00 00 00`);
    expect(parseArtnet(bytes)).toEqual({ kind: 'poll', replyOnChange: false, target: { bottom: 0x0102, top: 0x0105 } });
  });

  it('takes longer forms that are yet to come, and refuses shorter ones', () => {
    expect(parseArtnet(Buffer.concat([poll(), Buffer.alloc(40, 0xff)])).kind).toBe('poll');
    expect(parseArtnet(poll(0, 0, 0, 13))).toEqual(refused('too short'));
  });
});

describe('reading ArtPollReply', () => {
  it('finds names, limits and both directions of ports', () => {
    const bytes = nodeReply({ net: 1, sub: 2, outputs: [3, 4], refreshRate: 30, shortName: 'Truss' });
    // PortTypes of the second port: both output (bit 7) and input (bit 6); SwIn stands at 186.
    bytes[175] = 0xc0;
    bytes[187] = 9;
    const packet = parseArtnet(bytes);
    expect(packet).toMatchObject({ kind: 'pollReply', outputs: [0x123, 0x124], inputs: [0x129] });
    expect(packet).toMatchObject({
      reply: {
        ip: '192.0.2.50',
        port: 6454,
        shortName: 'Truss',
        longName: 'A node on the stage',
        nodeReport: '#0001 [0007] fine',
        mac: '02:00:00:ab:cd:ef',
        bindIndex: 1,
        status2: 8,
        refreshRate: 30,
      },
    });
  });

  it('takes 207 octets and more, with zeros for what is missing', () => {
    expect(parseArtnet(nodeReply({ outputs: [1], bindIndex: 9, refreshRate: 30, length: 207 }))).toMatchObject({
      outputs: [1],
      reply: { bindIndex: 0, bindIp: '0.0.0.0', refreshRate: 0, mac: '02:00:00:ab:cd:ef' },
    });
    expect(parseArtnet(nodeReply({ outputs: [1], length: 206 }))).toEqual(refused('too short'));
    expect(parseArtnet(Buffer.concat([nodeReply({ outputs: [1] }), Buffer.alloc(100, 0xff)]))).toMatchObject({ outputs: [1] });
  });

  it('lives with a byte-swapped port and with bits beyond the switches', () => {
    const bytes = nodeReply({ net: 0xff, sub: 0xf2, outputs: [0x7f] });
    bytes.set([0x19, 0x36], 14);
    expect(parseArtnet(bytes)).toMatchObject({ outputs: [0x7f2f] });
  });

  it('does not look at ports beyond NumPorts, and refuses more than four', () => {
    const bytes = nodeReply({ outputs: [1, 2, 3, 4] });
    bytes[173] = 2;
    expect(parseArtnet(bytes)).toMatchObject({ outputs: [1, 2] });
    bytes[173] = 5;
    expect(parseArtnet(bytes)).toEqual(refused('too many ports'));
    bytes.set([1, 0], 172);
    expect(parseArtnet(bytes)).toEqual(refused('too many ports'));
  });

  it('cuts names at the NUL and makes them printable', () => {
    const bytes = nodeReply({ shortName: 'ok\0hidden' });
    bytes.set([0x1b, 0x5b, 0x32, 0x4a, 0x41, 0xe9, 0x7f, 0x0a, 0x42], 44);
    bytes.fill(0x2e, 108, 172);
    const packet = parseArtnet(bytes);
    if (packet.kind !== 'pollReply') throw new Error(packet.kind);
    expect(packet.reply.shortName).toBe('ok');
    // "A node on the stage" goes on behind the nine octets that were laid over it.
    expect(packet.reply.longName).toBe('?[2JA???B the stage');
    expect(packet.reply.nodeReport).toBe('.'.repeat(64));
  });
});

describe('reading ArtDmx', () => {
  it('finds sequence, physical, Port-Address and slots', () => {
    const bytes = fromHex(`${dmxHead('34', '12', '00 04')} 01 02 03 ff`);
    expect(parseArtnet(bytes)).toEqual({
      kind: 'dmx',
      sequence: 5,
      physical: 2,
      portAddress: 0x1234,
      slots: Uint8Array.of(1, 2, 3, 255),
    });
  });

  it('takes odd lengths, and octets behind the slots', () => {
    expect(parseArtnet(fromHex(`${dmxHead('01', '00', '00 03')} 01 02 03`))).toMatchObject({ slots: Uint8Array.of(1, 2, 3) });
    expect(parseArtnet(fromHex(`${dmxHead('01', '00', '00 02')} 01 02 03`))).toMatchObject({ slots: Uint8Array.of(1, 2) });
  });

  it.each([
    ['no slots', `${dmxHead('01', '00', '00 00')}`, 'length'],
    ['513 slots', `${dmxHead('01', '00', '02 01')} ${'00'.repeat(513)}`, 'length'],
    ['fewer slots than announced', `${dmxHead('01', '00', '00 04')} 01 02 03`, 'too short'],
    ['no length', dmxHead('01', '00', '00'), 'too short'],
    ['a Net of eight bits', `${dmxHead('01', '80', '00 02')} 00 00`, 'Port-Address'],
  ])('refuses %s', (_, text, reason) => {
    expect(parseArtnet(fromHex(text))).toEqual(refused(reason));
  });
});

describe('reading anything', () => {
  it.each([
    ['ArtSync', `${ID} 00 52 00 0e 00 00`, { kind: 'sync' }],
    ['a later version', `${ID} 00 52 01 00 00 00`, { kind: 'sync' }],
    ['ArtTimeCode', `${ID} 00 97 00 0e`, { kind: 'other', opCode: 0x9700, name: 'ArtTimeCode' }],
    ['an op code that nobody knows', `${ID} cd ab 00 0e`, { kind: 'other', opCode: 0xabcd, name: undefined }],
    ['ArtSync without its end', `${ID} 00 52 00 0e 00`, refused('too short')],
    ['version 13', `${ID} 00 52 00 0d 00 00`, refused('old version')],
    ['no version', `${ID} 00 52 00`, refused('too short')],
    ['no op code', `${ID} 00`, refused('too short')],
    ['half an identifier', '41 72 74', refused('too short')],
    ['nothing', '', refused('too short')],
    ['another protocol', '00 10 00 00 41 53 43 2d 45 31 2e 31 37 00 00 00', refused('not Art-Net')],
    ['an identifier without its NUL', '41 72 74 2d 4e 65 74 20 00 52 00 0e 00 00', refused('not Art-Net')],
  ])('%s', (_, text, expected) => {
    expect(parseArtnet(fromHex(text))).toEqual(expected);
  });

  it('throws on no bytes at all, and gives slots that lie in the packet', () => {
    const kinds = new Set(['poll', 'pollReply', 'dmx', 'sync', 'other', 'refused']);
    const opCode = fc.constantFrom(0x2000, 0x2100, 0x5000, 0x5200, 0x9700);
    const near = fc.tuple(opCode, fc.uint8Array({ maxLength: 600 })).map(([code, rest]) => {
      return Uint8Array.from([...fromHex(ID), code & 0xff, code >> 8, 0, 14, ...rest]);
    });
    fc.assert(
      fc.property(fc.oneof(fc.uint8Array({ maxLength: 600 }), near), (bytes) => {
        const packet = parseArtnet(bytes);
        expect(kinds).toContain(packet.kind);
        if (packet.kind === 'dmx') {
          expect(packet.portAddress).toBeLessThanOrEqual(32767);
          expect(packet.slots.length).toBeLessThanOrEqual(512);
          expect(18 + packet.slots.length).toBeLessThanOrEqual(bytes.length);
        }
        if (packet.kind === 'pollReply') {
          expect(packet.outputs.length).toBeLessThanOrEqual(4);
          expect(packet.reply.longName).toMatch(/^[ -~]{0,64}$/);
        }
      }),
    );
  });
});

// That the bytes are right is said by packets.test.ts; here, that reading undoes writing.
describe('reading what was written', () => {
  const octet = fc.integer({ min: 0, max: 255 });
  const word = fc.integer({ min: 0, max: 65535 });
  const ascii = (longest: number) =>
    fc.array(fc.integer({ min: 0x20, max: 0x7e }), { maxLength: longest }).map((codes) => String.fromCharCode(...codes));
  const array = (length: number) => fc.array(octet, { minLength: length, maxLength: length });
  const ip = fc.ipV4();
  const mac = array(6).map((raw) => raw.map((one) => one.toString(16).padStart(2, '0')).join(':'));

  it('ArtDmx', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 32767 }),
        octet,
        fc.uint8Array({ minLength: 512, maxLength: 512 }),
        (portAddress, sequence, slots) => {
          const packet = artDmx(portAddress);
          fillArtDmx(packet, sequence, slots);
          expect(parseArtnet(packet)).toEqual({ kind: 'dmx', sequence, physical: 0, portAddress, slots });
        },
      ),
    );
  });

  it('ArtPoll', () => {
    fc.assert(
      fc.property(octet, word, word, (flags, targetBottom, targetTop) => {
        const packet = parseArtnet(artPoll({ flags, diagPriority: 0, targetTop, targetBottom, estaMan: 0, oem: 0 }));
        const target = (flags & 0x20) === 0 ? undefined : { bottom: targetBottom, top: targetTop };
        expect(packet).toEqual({ kind: 'poll', replyOnChange: (flags & 2) !== 0, target });
      }),
    );
  });

  it('ArtPollReply', () => {
    const reply = fc.record({
      ip,
      port: word,
      firmware: word,
      netSwitch: octet,
      subSwitch: octet,
      oem: word,
      ubeaVersion: octet,
      status1: octet,
      estaMan: word,
      shortName: ascii(17),
      longName: ascii(63),
      nodeReport: ascii(63),
      numPorts: fc.integer({ min: 0, max: 4 }),
      portTypes: array(4),
      goodInput: array(4),
      goodOutputA: array(4),
      swIn: array(4),
      swOut: array(4),
      acnPriority: octet,
      swMacro: octet,
      swRemote: octet,
      style: octet,
      mac,
      bindIp: ip,
      bindIndex: octet,
      status2: octet,
      goodOutputB: array(4),
      status3: octet,
      responderUid: array(6),
      user: word,
      refreshRate: word,
      queuePolicy: octet,
    });
    fc.assert(
      fc.property(reply, (values) => {
        expect(parseArtnet(artPollReply(values))).toMatchObject({ kind: 'pollReply', reply: values });
      }),
    );
  });
});
