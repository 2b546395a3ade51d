import { describe, expect, it } from 'vitest';
import { OP_CODES } from '../../../node/outputs/artnet/op-codes.ts';
import { ARTNET_CREDIT } from '../../../node/outputs/artnet/packets.ts';
import { artDmx, artPoll, artPollReply, artSync, fillArtDmx } from '../../../node/outputs/artnet/write.ts';

// Expected bytes are written out by hand from Art-Net 4's packet definitions.
const hex = (...rows: string[]): string => rows.join('').replaceAll(' ', '');
const bytesOf = (packet: Uint8Array): string => Buffer.from(packet).toString('hex');
const zeros = (count: number): string => '00'.repeat(count);
const ID = '41 72 74 2d 4e 65 74 00';

describe('op codes', () => {
  // Source: Wireshark 4.0.17, `tshark -G values`, artnet.header.opcode.
  it.each([
    ['ArtPoll', 8192],
    ['ArtPollReply', 8448],
    ['ArtDiagData', 8960],
    ['ArtCommand', 9216],
    ['ArtDmx', 20480],
    ['ArtNzs', 20736],
    ['ArtSync', 20992],
    ['ArtAddress', 24576],
    ['ArtInput', 28672],
    ['ArtTodRequest', 32768],
    ['ArtTodData', 33024],
    ['ArtTodControl', 33280],
    ['ArtRdm', 33536],
    ['ArtRdmSub', 33792],
    ['ArtTimeCode', 38656],
    ['ArtTimeSync', 38912],
    ['ArtTrigger', 39168],
    ['ArtDirectory', 39424],
    ['ArtDirectoryReply', 39680],
    ['ArtFirmwareMaster', 61952],
    ['ArtFirmwareReply', 62208],
    ['ArtIpProg', 63488],
    ['ArtIpProgReply', 63744],
  ] as const)('%s is %i', (name, code) => {
    expect(OP_CODES[name]).toBe(code);
  });
});

describe('packets as they leave', () => {
  it('ArtPoll: 22 octets, numbers high byte first behind the OpCode', () => {
    const packet = artPoll({
      flags: 0x22,
      diagPriority: 0x40,
      targetTop: 0x1234,
      targetBottom: 0x0102,
      estaMan: 0x7ff0,
      oem: 0x00ff,
    });
    expect(bytesOf(packet)).toBe(hex(ID, '00 20', '00 0e', '22', '40', '12 34', '01 02', '7f f0', '00 ff'));
  });

  it('ArtSync: 14 octets', () => {
    expect(bytesOf(artSync())).toBe(hex(ID, '00 52', '00 0e', '00', '00'));
  });

  it('ArtDmx: 18 octets and 512 slots, SubUni before Net, length high byte first', () => {
    const packet = artDmx(0x1234);
    fillArtDmx(packet, 0x9a, new Uint8Array(512).fill(0x11).fill(0xff, 511));
    expect(bytesOf(packet)).toBe(hex(ID, '00 50', '00 0e', '9a', '00', '34', '12', '02 00', '11'.repeat(511), 'ff'));
  });

  it('ArtPollReply: 239 octets; Port and EstaMan low byte first, all else high byte first', () => {
    const packet = artPollReply({
      ip: '192.0.2.10',
      port: 6454,
      firmware: 0x0102,
      netSwitch: 0x12,
      subSwitch: 0x03,
      oem: 0x00ff,
      ubeaVersion: 0x05,
      status1: 0xd2,
      estaMan: 0x7ff0,
      shortName: 'Short',
      longName: 'Long',
      nodeReport: '#0001 [0000] x',
      numPorts: 2,
      portTypes: [0x80, 0x40, 0, 1],
      goodInput: [0x80, 2, 3, 4],
      goodOutputA: [5, 6, 7, 8],
      swIn: [9, 10, 11, 12],
      swOut: [13, 14, 15, 1],
      acnPriority: 0x64,
      swMacro: 0x21,
      swRemote: 0x22,
      style: 1,
      mac: '02:00:5e:10:00:ff',
      bindIp: '192.0.2.11',
      bindIndex: 7,
      status2: 0x08,
      goodOutputB: [0x80, 0x40, 0x20, 0],
      status3: 0x04,
      responderUid: [0x7f, 0xf0, 1, 2, 3, 4],
      user: 0xabcd,
      refreshRate: 0x012c,
      queuePolicy: 2,
    });
    const rows = [
      [0, ID],
      [8, '00 21'],
      [10, 'c0 00 02 0a'],
      [14, '36 19'],
      [16, '01 02'],
      [18, '12'],
      [19, '03'],
      [20, '00 ff'],
      [22, '05'],
      [23, 'd2'],
      [24, 'f0 7f'],
      [26, `53 68 6f 72 74 ${zeros(13)}`],
      [44, `4c 6f 6e 67 ${zeros(60)}`],
      [108, `23 30 30 30 31 20 5b 30 30 30 30 5d 20 78 ${zeros(50)}`],
      [172, '00 02'],
      [174, '80 40 00 01'],
      [178, '80 02 03 04'],
      [182, '05 06 07 08'],
      [186, '09 0a 0b 0c'],
      [190, '0d 0e 0f 01'],
      [194, '64'],
      [195, '21'],
      [196, '22'],
      [197, '00 00 00'],
      [200, '01'],
      [201, '02 00 5e 10 00 ff'],
      [207, 'c0 00 02 0b'],
      [211, '07'],
      [212, '08'],
      [213, '80 40 20 00'],
      [217, '04'],
      [218, '7f f0 01 02 03 04'],
      [224, 'ab cd'],
      [226, '01 2c'],
      [228, '02'],
      [229, zeros(10)],
    ] as const;
    let at = 0;
    for (const [offset, row] of rows) {
      expect(at).toBe(offset);
      const length = hex(row).length / 2;
      expect(`${offset}: ${bytesOf(packet.subarray(at, at + length))}`).toBe(`${offset}: ${hex(row)}`);
      at += length;
    }
    expect(at).toBe(239);
    expect(packet).toHaveLength(239);
  });

  it('ends every name with a NUL inside its field, in plain ASCII', () => {
    const long = 'Zür früh, 20 Ω — '.repeat(9);
    const packet = artPollReply({ ...empty, shortName: long, longName: long, nodeReport: long });
    expect(Buffer.from(packet.subarray(26, 44)).toString('latin1')).toBe('Zur fruh, 20 ? ? \0'.slice(0, 17).concat('\0'));
    for (const [start, end] of [
      [44, 108],
      [108, 172],
    ] as const) {
      const field = packet.subarray(start, end);
      expect(field[63]).toBe(0);
      expect(field.subarray(0, 63).every((code) => code >= 0x20 && code <= 0x7e)).toBe(true);
    }
    // The octet behind the report is NumPorts, high byte.
    expect(packet[172]).toBe(0);
  });
});

it('gives the credit line as the owner words it', () => {
  // Source: the current official form, as Art-Net's owner asks for it.
  expect(ARTNET_CREDIT).toBe('Art-Net™ Designed by and Copyright Artistic Licence Engineering Ltd');
});

const none = [0, 0, 0, 0];
const empty = {
  ip: '0.0.0.0',
  port: 0,
  firmware: 0,
  netSwitch: 0,
  subSwitch: 0,
  oem: 0,
  ubeaVersion: 0,
  status1: 0,
  estaMan: 0,
  shortName: '',
  longName: '',
  nodeReport: '',
  numPorts: 0,
  portTypes: none,
  goodInput: none,
  goodOutputA: none,
  swIn: none,
  swOut: none,
  acnPriority: 0,
  swMacro: 0,
  swRemote: 0,
  style: 0,
  mac: '00:00:00:00:00:00',
  bindIp: '0.0.0.0',
  bindIndex: 0,
  status2: 0,
  goodOutputB: none,
  status3: 0,
  responderUid: [0, 0, 0, 0, 0, 0],
  user: 0,
  refreshRate: 0,
  queuePolicy: 0,
};
