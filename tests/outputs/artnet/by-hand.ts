import { artnetSettings } from '../../../node/core/output-settings.ts';
import { ArtnetOutput } from '../../../node/outputs/artnet/output.ts';
import type { OutputRig } from '../../helpers/output-rig.ts';
import { OutputRig as Rig } from '../../helpers/output-rig.ts';
import type { SentDatagram } from '../../helpers/recording-udp.ts';

/**
 * What a node would send, and how it would read what it gets, by the offsets of Art-Net 4's packet definitions written out here: none
 * of it comes from our own tables.
 */
export const ARTNET_PORT = 6454;

/** "Art-Net", NUL, OpCode low byte first. */
const head = (opCode: number, length: number): Buffer => {
  const bytes = Buffer.alloc(length);
  bytes.write('Art-Net\0', 0, 'latin1');
  bytes.writeUInt16LE(opCode, 8);
  return bytes;
};

export interface NodeReplyByHand {
  readonly bindIndex?: number;
  readonly net?: number;
  readonly sub?: number;
  /** Low nibbles of the Port-Addresses that it puts out, one a port. */
  readonly outputs?: readonly number[];
  readonly refreshRate?: number;
  readonly shortName?: string;
  readonly length?: number;
}

export function nodeReply(node: NodeReplyByHand = {}): Buffer {
  const { bindIndex = 1, net = 0, sub = 0, outputs = [], refreshRate = 0, shortName = 'Node', length = 239 } = node;
  const bytes = head(0x2100, 239);
  bytes.set([192, 0, 2, 50], 10);
  bytes.writeUInt16LE(6454, 14);
  bytes.set([net, sub], 18);
  bytes.write(shortName, 26, 17, 'latin1');
  bytes.write('A node on the stage', 44, 'latin1');
  bytes.write('#0001 [0007] fine', 108, 'latin1');
  bytes.writeUInt16BE(outputs.length, 172);
  outputs.forEach((universe, i) => {
    bytes[174 + i] = 0x80;
    bytes[190 + i] = universe;
  });
  bytes.set([0x02, 0, 0, 0xab, 0xcd, 0xef], 201);
  bytes[211] = bindIndex;
  bytes[212] = 0x08;
  bytes.writeUInt16BE(refreshRate, 226);
  return bytes.subarray(0, length);
}

/** An ArtPoll; flags bit 1: reply on change, bit 5: targeted mode. */
export function poll(flags = 0, bottom = 0, top = 0, length = 22): Buffer {
  const bytes = head(0x2000, 22);
  bytes.set([0, 14, flags, 0], 10);
  bytes.writeUInt16BE(top, 14);
  bytes.writeUInt16BE(bottom, 16);
  return bytes.subarray(0, length);
}

export const opCodeOf = (bytes: Uint8Array): number => (bytes[8] ?? 0) | ((bytes[9] ?? 0) << 8);
export const isPoll = ({ bytes }: SentDatagram): boolean => opCodeOf(bytes) === 0x2000;
export const isReply = ({ bytes }: SentDatagram): boolean => opCodeOf(bytes) === 0x2100;
export const isDmx = ({ bytes }: SentDatagram): boolean => opCodeOf(bytes) === 0x5000;
export const isSync = ({ bytes }: SentDatagram): boolean => opCodeOf(bytes) === 0x5200;

export interface DmxRead {
  readonly at: number;
  readonly to: string;
  readonly port: number;
  readonly sequence: number;
  readonly portAddress: number;
  readonly slots: Uint8Array;
}

/** The ArtDmx among `sent`. */
export const dmx = (sent: readonly SentDatagram[]): DmxRead[] =>
  sent.filter(isDmx).map(({ bytes, address, port, at }) => ({
    at,
    to: address,
    port,
    sequence: bytes[12] ?? 0,
    portAddress: ((bytes[15] ?? 0) << 8) | (bytes[14] ?? 0),
    slots: bytes.subarray(18),
  }));

export const from = (address: string) => ({ address, port: ARTNET_PORT });

/** Makes a node at `address` that answers every poll with `replies`, at once, until it is told to fall silent. */
export function plugIn(rig: OutputRig, address: string, ...replies: readonly Uint8Array[]): { silent: boolean } {
  const node = { silent: false };
  const hear = (): void => {
    for (const reply of replies) rig.network.receive(reply, from(address), ARTNET_PORT);
  };
  const frame = rig.frame.bind(rig);
  rig.frame = (step) => {
    const sent = frame(step);
    if (!node.silent && sent.some(isPoll)) hear();
    return sent;
  };
  hear();
  return node;
}

export function rigWith(
  settings: Record<string, unknown> = {},
  universes: readonly number[] = [1, 2],
  random?: () => number,
): OutputRig {
  return new Rig(
    (host) =>
      new ArtnetOutput({
        settings: artnetSettings.parse({ id: 'main', protocol: 'artnet', ...settings }),
        nodeName: 'Tent',
        firmwareVersion: 0x0102,
        host: random === undefined ? host : { ...host, random },
      }),
    universes,
  );
}
