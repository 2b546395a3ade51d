import { beforeEach, describe, expect, it } from 'vitest';
import { artnetSettings, sacnSettings } from '../../node/core/output-settings.ts';
import type { OutputHost } from '../../node/core/ports.ts';
import { ArtnetOutput } from '../../node/outputs/artnet/output.ts';
import { SacnOutput } from '../../node/outputs/sacn/output.ts';
import { OutputRig } from '../helpers/output-rig.ts';
import { link, loopback, type SentDatagram } from '../helpers/recording-udp.ts';

const eth = link('eth0', '192.0.2.10');
const wlan = link('wlan0', '198.51.100.10');
/** RFC 863. */
const DISCARD_PORT = 9;
const NODE = '192.0.2.50';
const OTHER = '198.51.100.50';

const protocols = [
  {
    name: 'sACN',
    build: (host: OutputHost, to: string[]) =>
      new SacnOutput({
        settings: sacnSettings.parse({ id: 'main', protocol: 'sacn', to }),
        cid: new Uint8Array(16),
        sourceName: 'Tent',
        host,
      }),
    /** E1.31-2018 Table 4-1: the vector at 18 is 4 for data, slot 1 stands at 126. */
    level: (bytes: Uint8Array) => (bytes.length === 638 && bytes[21] === 4 ? bytes[126] : undefined),
  },
  {
    name: 'Art-Net',
    build: (host: OutputHost, to: string[]) =>
      new ArtnetOutput({
        settings: artnetSettings.parse({ id: 'main', protocol: 'artnet', to }),
        nodeName: 'Tent',
        firmwareVersion: 1,
        host,
      }),
    /** Art-Net 4, ArtDmx: OpCode 0x5000 low byte first at 8, slot 1 at 18. */
    level: (bytes: Uint8Array) => (bytes.length === 530 && bytes[9] === 0x50 ? bytes[18] : undefined),
  },
];

describe.each(protocols)('$name to a receiver whose hardware address the system does not know', ({ build, level }) => {
  let rig: OutputRig;
  beforeEach(() => {
    rig = new OutputRig((host) => build(host, [NODE, OTHER]), [1]).start([loopback, eth, wlan]);
    rig.frames(5000);
    rig.network.neighbourhood.flush(NODE);
  });
  const levels = (sent: readonly SentDatagram[], to = NODE): unknown[] =>
    sent.filter(({ address }) => address === to).flatMap(({ bytes }) => level(bytes) ?? []);
  const questions = (sent: readonly SentDatagram[]): SentDatagram[] => sent.filter(({ port }) => port === DISCARD_PORT);
  const move = (value: number): SentDatagram[] => {
    rig.set(1, 1, value);
    return rig.frame();
  };

  it('sends nothing that would be kept, but an empty datagram that makes it ask', () => {
    const sent = [1, 2, 3, 4, 5].flatMap(move);
    expect(levels(sent)).toEqual([]);
    expect(questions(sent).map(({ address, bytes }) => [address, bytes.length])).toEqual([[NODE, 0]]);
    expect(levels(sent, OTHER)).toEqual([1, 2, 3, 4, 5]);
    expect(rig.output.report(rig.clock.now()).dropped).toBeGreaterThanOrEqual(5);
  });

  it('sends the picture as it is as soon as there is an answer, before the next frame', () => {
    move(1);
    move(2);
    rig.network.neighbourhood.answer();
    rig.set(1, 1, 3);
    const at = rig.clock.now();
    const sent = rig.frame();
    expect(levels(sent)).toEqual([3]);
    rig.network.neighbourhood.flush(NODE);
    rig.set(1, 1, 4);
    rig.frame();
    rig.network.neighbourhood.answer();
    const [first] = rig.frame().filter(({ address, bytes }) => address === NODE && level(bytes) !== undefined);
    expect(first && level(first.bytes)).toBe(4);
    expect((first?.at ?? 0) - at).toBeLessThan(75);
  });

  it('does not ask while the interface has no carrier: the question would be lost, and the next comes a second later', () => {
    rig.network.neighbourhood.noCarrier.add('eth0');
    const dark = [1, 2, 3].flatMap(move);
    expect([...levels(dark), ...questions(dark)]).toEqual([]);
    rig.network.neighbourhood.noCarrier.clear();
    expect(questions(move(4))).toHaveLength(1);
    rig.network.neighbourhood.answer();
    expect(levels(move(5)).at(-1)).toBe(5);
  });

  it('holds back again at once when the carrier goes right after a swift answer', () => {
    rig.network.neighbourhood.swift = true;
    expect(levels(move(1))).toEqual([1]);
    rig.network.neighbourhood.flush(NODE);
    rig.network.neighbourhood.noCarrier.add('eth0');
    const dark = [2, 3].flatMap(move);
    expect([...levels(dark), ...questions(dark)]).toEqual([]);
    rig.network.neighbourhood.noCarrier.clear();
    expect(levels(move(4))).toEqual([4]);
  });

  it('asks four times a second, and says when nobody has answered for three', () => {
    rig.network.neighbourhood.mute.add(NODE);
    const lines = rig.network.log.length;
    const sent = Array.from({ length: 400 }, (_, i) => i & 0xff).flatMap(move);
    expect(levels(sent)).toEqual([]);
    expect(questions(sent).length).toBeGreaterThan(35);
    expect(questions(sent).length).toBeLessThan(42);
    expect(rig.network.log.slice(lines)).toEqual([expect.stringMatching(/: nobody answers at 192\.0\.2\.50(:5568)?\. /)]);
    expect(rig.output.report(rig.clock.now())).toMatchObject({
      state: 'sending',
      towards: expect.stringContaining('(does not answer)'),
    });
    rig.network.neighbourhood.mute.clear();
    rig.network.neighbourhood.answer();
    expect(levels(move(9)).at(-1)).toBe(9);
    expect(rig.network.log.slice(lines + 1)).toEqual([expect.stringMatching(/: every receiver answers again\.$/)]);
  });

  it('goes on where it turns out that there is nobody to ask', () => {
    rig.network.neighbourhood.elsewhere.add(NODE);
    const sent = Array.from({ length: 80 }, (_, i) => i + 1).flatMap(move);
    expect(levels(sent)).toEqual(Array.from({ length: 80 }, (_, i) => i + 1));
    expect(questions(sent).length).toBeLessThanOrEqual(3);
  });
});

describe('whoever lies behind a router, or is this machine', () => {
  it('is sent to without a question', () => {
    const [sacn] = protocols;
    const rig = new OutputRig((host) => (sacn as (typeof protocols)[number]).build(host, ['203.0.113.9', '127.0.0.1']), [1]);
    rig.start([loopback, eth]);
    rig.network.neighbourhood.flush('203.0.113.9', '127.0.0.1');
    const sent = rig.frame();
    expect(sent.filter(({ bytes }) => bytes.length === 638).map(({ address }) => address)).toEqual(['203.0.113.9', '127.0.0.1']);
    expect(sent.filter(({ port }) => port === DISCARD_PORT)).toEqual([]);
  });
});

describe('IPv6, whose neighbours the system does not show', () => {
  it('is held back while the interface has no carrier', () => {
    const [sacn] = protocols;
    const rig = new OutputRig((host) => (sacn as (typeof protocols)[number]).build(host, ['2001:db8::50']), [1]);
    rig.start([loopback, link('eth0', '2001:db8::10', { scope: 2 })]);
    rig.frames(1000);
    rig.network.neighbourhood.noCarrier.add('eth0');
    rig.set(1, 1, 7);
    expect(rig.frames(100)).toEqual([]);
    rig.network.neighbourhood.noCarrier.clear();
    expect(rig.frame().map(({ bytes }) => bytes[126])).toEqual([7]);
  });
});
