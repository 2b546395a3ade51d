import { decode, encode, type Question } from 'dns-packet';
import { beforeEach, describe, expect, it } from 'vitest';
import type { Link } from '../../node/core/ports.ts';
import { sameSubnet } from '../../node/outputs/subnet.ts';
import { NameResponder } from '../../node/system/mdns.ts';
import { FakeClock } from '../helpers/fake-clock.ts';
import { recordedLog } from '../helpers/recorded-log.ts';
import { link, loopback, RecordingUdp } from '../helpers/recording-udp.ts';

const wired = link('eth0', '192.0.2.7');
const wireless = link('wlan0', '198.51.100.7');
const phone = { address: '192.0.2.50', port: 5353 };

let clock: FakeClock;
let udp: RecordingUdp;
let log: ReturnType<typeof recordedLog>;
let links: () => readonly Link[];
let responder: NameResponder;

function begin(...up: readonly Link[]): void {
  links = () => up;
  clock = new FakeClock();
  udp = new RecordingUdp(clock);
  log = recordedLog();
  responder = new NameResponder('rack', { links: () => links(), isOn: sameSubnet, openUdp: udp.host.openUdp, clock, log });
  responder.follow();
}
beforeEach(() => begin(loopback, wired, wireless));

const ask = (name = 'rack.local', type: Question['type'] = 'A') =>
  udp.receive(encode({ type: 'query', questions: [{ type, name }] }), phone, 5353);
/** The answers sent since the last call: by the address of their interface, the records in them. */
const answers = () =>
  udp.take().map(({ bytes, address, port, socket }) => {
    const packet = decode(Buffer.from(bytes));
    expect([address, port, packet.type, packet.flag_aa]).toEqual(['224.0.0.251', 5353, 'response', true]);
    return [
      socket.multicastInterface,
      (packet.answers ?? []).map((one) => (one.type === 'A' ? [one.name, one.data, one.ttl, one.flush] : one)),
    ];
  });
const record = (address: string) => ['rack.local', address, 60, true];

describe('the name on the network (RFC 6762)', () => {
  it('is answered for on every interface with the addresses that are valid there and no others (6.2), by a TTL of 255 (11)', () => {
    ask();
    expect(answers()).toEqual([
      ['192.0.2.7', [record('192.0.2.7')]],
      ['198.51.100.7', [record('198.51.100.7')]],
    ]);
    expect([...udp.open].map(({ port, groups, multicastTtl }) => [port, groups, multicastTtl])).toEqual(
      Array(2).fill([5353, ['224.0.0.251'], 255]),
    );
    ask('RACK.Local');
    expect(answers()).toEqual([]);
  });

  it('is multicast on an interface at most once a second, however often it is asked for (6)', () => {
    for (let i = 0; i < 500; i++) {
      ask();
      clock.advance(10);
    }
    expect(answers()).toHaveLength(2 * 5);
  });

  it('is not answered for under another name, for what it has not, or to an answer', () => {
    ask('rack2.local');
    udp.receive(encode({ type: 'response', questions: [{ type: 'A', name: 'rack.local' }] }), phone, 5353);
    expect(answers()).toEqual([]);
  });

  it('says at once that it has no IPv6 address, where it is asked for one (6.1: NSEC names the records that there are)', () => {
    ask('rack.local', 'AAAA');
    const packets = udp.take().map(({ bytes }) => decode(Buffer.from(bytes)));
    expect(packets).toHaveLength(2);
    for (const { additionals } of packets)
      expect(additionals).toMatchObject([{ type: 'NSEC', name: 'rack.local', data: { nextDomain: 'rack.local', rrtypes: ['A'] } }]);
  });

  /** A question as bytes: dns-packet cannot write the class of a question that wants the answer for itself. */
  const question = (id: number, klass: number, type = 1) =>
    Buffer.from(
      `${id.toString(16).padStart(4, '0')}00000001000000000000${'047261636b056c6f63616c00'}${[type, klass].map((n) => n.toString(16).padStart(4, '0')).join('')}`,
      'hex',
    );
  const single = () =>
    udp.take().map(({ bytes, address, port }) => {
      const { id, questions = [], answers: of = [], additionals = [] } = decode(Buffer.from(bytes));
      const keep = [...of, ...additionals].map((one) => ('ttl' in one ? [one.type, one.ttl, 'flush' in one && one.flush] : one));
      return { to: `${address}:${port}`, id, asked: questions.map(({ name }) => name), keep };
    });

  it('is told to whoever asks once from another port, by unicast, with its number and question, to be kept ten seconds at most (6.7)', () => {
    udp.receive(question(0x4711, 1), { address: '192.0.2.50', port: 40_000 }, 5353);
    expect(single()).toEqual([
      {
        to: '192.0.2.50:40000',
        id: 0x4711,
        asked: ['rack.local'],
        keep: [
          ['A', 10, false],
          ['NSEC', 10, false],
        ],
      },
    ]);
    // The multicast answer to others is not spent by it.
    ask();
    expect(answers()).toHaveLength(2);
  });

  it('is told so to nobody who is on no network of ours (11), and no more than twenty times a second', () => {
    udp.receive(question(1, 1), { address: '203.0.113.5', port: 40_000 }, 5353);
    expect(single()).toEqual([]);
    for (let i = 0; i < 500; i++) udp.receive(question(i, 1), { address: '192.0.2.50', port: 40_000 }, 5353);
    expect(single()).toHaveLength(20);
    clock.advance(1000);
    udp.receive(question(1, 1), { address: '192.0.2.50', port: 40_000 }, 5353);
    expect(single()).toHaveLength(1);
  });

  it('is told by unicast to whoever wants that, but multicast where others have not heard it for a quarter of its time (5.4)', () => {
    udp.receive(question(0, 0x8001), phone, 5353);
    expect(answers()).toHaveLength(2);
    clock.advance(14_000);
    udp.receive(question(0, 0x8001), phone, 5353);
    expect(single()).toEqual([
      expect.objectContaining({
        to: '192.0.2.50:5353',
        id: 0,
        asked: [],
        keep: [
          ['A', 60, true],
          ['NSEC', 60, true],
        ],
      }),
    ]);
    clock.advance(2000);
    udp.receive(question(0, 0x8001), phone, 5353);
    expect(answers()).toHaveLength(2);
  });

  it('is not told in another class than that of the Internet', () => {
    for (const klass of [2, 3, 4, 0x8003]) udp.receive(question(0, klass), phone, 5353);
    expect(udp.take()).toEqual([]);
    udp.receive(question(0, 255), phone, 5353);
    expect(answers()).toHaveLength(2);
  });

  it('goes along with cables and addresses', () => {
    links = () => [loopback, link('eth0', '203.0.113.9')];
    responder.follow();
    ask();
    expect(answers()).toEqual([['203.0.113.9', [record('203.0.113.9')]]]);
    links = () => {
      throw new Error('EMFILE: no descriptors');
    };
    responder.follow();
    clock.advance(1000);
    ask();
    expect(answers()).toHaveLength(1);
    responder.stop();
    expect(udp.open.size).toBe(0);
  });
});

describe('what is said of it', () => {
  it('is nothing untrue of a datagram that cannot be read, and the next question is answered', () => {
    for (const bytes of ['', '00', 'ffff', '000001000001000000000000c00c00010001', '00000000ffff00000000000003'])
      udp.receive(Buffer.from(bytes, 'hex'), phone, 5353);
    expect(log.lines.join()).not.toMatch(/cannot be/);
    ask();
    expect(answers()).toHaveLength(2);
  });

  it('is where it cannot be, and why', () => {
    for (const { onError, multicastInterface } of udp.open) if (multicastInterface === '192.0.2.7') onError('ENETUNREACH');
    responder.follow();
    expect(log.lines).toEqual(['rack.local cannot be answered for on eth0 (ENETUNREACH); phones there need the address instead.']);
  });

  it('is nothing of what failed while the address changed', () => {
    for (const { onError } of udp.open) onError('ENETUNREACH');
    links = () => [link('eth0', '203.0.113.9')];
    responder.follow();
    responder.follow();
    expect(log.lines).toEqual([]);
  });

  it('is that no network is up', () => {
    begin(loopback);
    responder.start();
    responder.stop();
    expect(log.lines).toEqual(['No network is up: phones find rack.local as soon as one is.']);
  });
});

describe('another machine of the same name (9)', () => {
  const answerOf = (data: string, from: string, name = 'rack.local') =>
    udp.receive(encode({ type: 'response', answers: [{ type: 'A', name, ttl: 60, data }] }), { address: from, port: 5353 }, 5353);

  it('is told of', () => {
    answerOf('192.0.2.60', '192.0.2.60', 'Rack.local');
    expect(log.lines[0]).toBe(
      'Another machine, 192.0.2.60, is called rack.local as well: phones may reach either. Give this node another name.',
    );
  });

  it('is neither this one, heard again on its own networks, nor one that is called otherwise', () => {
    answerOf('192.0.2.7', '192.0.2.7');
    answerOf('198.51.100.7', '192.0.2.60');
    answerOf('192.0.2.60', '192.0.2.60', 'rack2.local');
    expect(log.lines).toEqual([]);
  });
});
