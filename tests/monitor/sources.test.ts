import { beforeEach, describe, expect, it } from 'vitest';
import { HeardLevels } from '../../node/core/heard.ts';
import { MOST_OF_ADDRESS, MOST_OF_ONE, MOST_PREVIEWS, MOST_SOURCES, SacnSources } from '../../node/monitor/sources.ts';
import { FakeClock } from '../helpers/fake-clock.ts';
import { type DataByHand, data, PREVIEW, TERMINATED } from './by-hand.ts';

/** Expected: E1.31-2018, the clause beside each case; packets are patched by hand into the printed one of Table B-13. */
const ownCids = [0xa0, 0xb0].map((first) => Uint8Array.from({ length: 16 }, (_, i) => first + i));
let clock: FakeClock;
let sources: SacnSources;
let sequence: number;
beforeEach(() => {
  clock = new FakeClock();
  sources = new SacnSources();
  watch([1, 2]);
  sequence = 0;
});

const hear = (packet: DataByHand = {}, address = '192.0.2.7'): void => {
  sequence = (sequence + 1) & 0xff;
  sources.take(data({ sequence, ...packet }), address, clock.now());
};
const watch = (universes: readonly number[], own = ownCids): void => sources.watch({ universes, own });
const heard = () => sources.report(clock.now());
const names = (): string[] => heard().map(({ name }) => name);

describe('a source', () => {
  it('is told of with its name, address, priority and the time', () => {
    hear({ priority: 120 });
    expect(heard()).toEqual([
      {
        ...{ universe: 1, name: 'Source_A', address: '192.0.2.7', priority: 120, perSecond: 1, lastSeenAt: clock.now() },
        // The CID that Table B-13 prints.
        cid: 'ef07c8dd00644401a3a2459ef8e6143e',
        levels: expect.any(SharedArrayBuffer),
      },
    ]);
  });

  it('is followed in what it changes', () => {
    hear();
    hear({ name: 'Tent', priority: 0 }, '192.0.2.8');
    expect(heard()).toMatchObject([{ name: 'Tent', address: '192.0.2.8', priority: 0 }]);
  });

  // Section 5.6: the CID tells sources apart, not the address; section 6.2.7: the universe is the packet's.
  it('is one by its CID, and counts in every universe for itself', () => {
    hear({ who: 1 });
    hear({ who: 1 }, '192.0.2.8');
    hear({ who: 2 });
    hear({ who: 1, universe: 2 });
    expect(heard().map(({ universe }) => universe)).toEqual([1, 1, 2]);
  });

  it('is not told of where we send nothing, or no more', () => {
    hear({ universe: 3 });
    expect(heard()).toEqual([]);
    hear({ universe: 1 });
    hear({ universe: 2 });
    watch([2, 3]);
    expect(heard().map(({ universe }) => universe)).toEqual([2]);
  });

  it('is not told of when it is an output of this node, or was one a moment ago', () => {
    const hearOwn = (): void => {
      for (const cid of ownCids) {
        const packet = data();
        packet.set(cid, 22);
        sources.take(packet, '192.0.2.7', clock.now());
      }
    };
    hearOwn();
    watch([1], [Uint8Array.from({ length: 16 }, () => 1)]);
    hearOwn();
    expect(heard()).toEqual([]);
  });

  it('has its rate, a fresh one soon and one that keeps alive too', () => {
    const forASecond = (each: number): void => {
      for (let t = 0; t < 1000; t += each) {
        hear();
        clock.advance(each);
      }
    };
    forASecond(25);
    expect(heard()[0]?.perSecond).toBeCloseTo(40, -0.5);
    for (let i = 0; i < 9; i++) forASecond(25);
    expect(heard()[0]?.perSecond).toBeCloseTo(40, -0.5);
    for (let i = 0; i < 10; i++) forASecond(1000);
    expect(heard()[0]?.perSecond).toBe(1);
  });
});

describe('loss', () => {
  // Section 6.7.1 and Appendix A: E131_NETWORK_DATA_LOSS_TIMEOUT 2.5 s.
  it('comes after 2.5 seconds without a packet', () => {
    hear();
    clock.advance(2499);
    expect(names()).toEqual(['Source_A']);
    clock.advance(1);
    expect(names()).toEqual([]);
  });

  // Section 6.2.6: three packets say so, and what they carry is ignored.
  it('comes at once with a termination, and the other two do not bring it back', () => {
    hear();
    hear({ options: TERMINATED });
    expect(names()).toEqual([]);
    hear({ options: TERMINATED });
    hear({ options: TERMINATED });
    expect(names()).toEqual([]);
  });

  it('is of one universe', () => {
    hear({ universe: 1 });
    hear({ universe: 2 });
    hear({ universe: 1, options: TERMINATED });
    expect(heard().map(({ universe }) => universe)).toEqual([2]);
  });

  it('lets a source begin again with any number', () => {
    hear({ sequence: 100 });
    clock.advance(2500);
    hear({ sequence: 99 });
    expect(names()).toEqual(['Source_A']);
  });
});

describe('the order of packets', () => {
  // Section 6.7.2: with B the new number and A the last, B - A in (-20, 0] is discarded.
  it.each([
    [100, 101, true],
    [100, 100, false],
    [100, 99, false],
    [100, 81, false],
    [100, 80, true],
    [255, 0, true],
    [0, 255, false],
  ])('after %i comes %i: taken %s', (last, next, taken) => {
    hear({ sequence: last });
    clock.advance(1000);
    hear({ sequence: next, priority: 7 });
    expect(heard()[0]?.priority).toBe(taken ? 7 : 100);
    expect(heard()[0]?.lastSeenAt).toBe(clock.now() - (taken ? 0 : 1000));
  });

  it('holds for terminations', () => {
    hear({ sequence: 100 });
    hear({ sequence: 99, options: TERMINATED });
    expect(names()).toEqual(['Source_A']);
  });

  it('goes on under packets that do not count', () => {
    hear({ sequence: 0 });
    for (let next = 1; next <= 250; next++) hear({ sequence: next, options: PREVIEW });
    hear({ sequence: 251, priority: 7 });
    expect(heard()[0]?.priority).toBe(7);
  });
});

describe('what lights nothing', () => {
  // Section 6.2.6: preview data are not for live output. ANSI E1.11: levels have START code 0.
  it.each([
    ['preview data', { options: PREVIEW }],
    ['per-address priority', { startCode: 0xdd }],
    ['text', { startCode: 0x17 }],
  ])('%s make no source and keep none alive', (_, packet) => {
    hear(packet);
    expect(heard()).toEqual([]);
    hear();
    clock.advance(2400);
    hear({ ...packet, priority: 7 });
    expect(heard()).toMatchObject([{ priority: 100 }]);
    clock.advance(100);
    expect(heard()).toEqual([]);
  });
});

describe('names', () => {
  it.each([
    ['Zoë’s tent 🎪', 'Zoë’s tent 🎪'],
    ['', 'No name'],
    ['   ', 'No name'],
    ['\u001b[31mred\u001b[0m', '\ufffd[31mred\ufffd[0m'],
    ['a\r\nb\tc', 'a\ufffd\ufffdb\ufffdc'],
    ['\u202egnp.exe', 'gnp.exe'],
    ['a\u200bb\u2028c\ufeff', 'abc'],
    ['\u0085\u009b', '\ufffd\ufffd'],
    [`e${'\u0301'.repeat(20)}`, `e${'\u0301'.repeat(3)}`],
  ])('%j become %j', (name, shown) => {
    hear({ name });
    expect(names()).toEqual([shown]);
  });

  it('that are no UTF-8, or fill all octets, do no harm', () => {
    hear({ who: 1, name: Uint8Array.of(0xff, 0x41) });
    hear({ who: 2, name: 'x'.repeat(64) });
    expect(names()).toEqual(['\ufffdA', 'x'.repeat(64)]);
  });
});

describe('the levels of a source', () => {
  const levels = (universe = 1) => {
    const found = heard().find((one) => one.universe === universe);
    return found === undefined ? undefined : new HeardLevels(found.levels).read();
  };
  /** The printed packet with other levels: slots begin at octet 126 (Table 4-1). */
  const send = (value: number, packet: DataByHand = {}): void => {
    sequence = (sequence + 1) & 0xff;
    const bytes = data({ sequence, ...packet });
    bytes.fill(value, 126);
    sources.take(bytes, '192.0.2.7', clock.now());
  };

  it('are the newest of each universe, as many as were sent', () => {
    send(10);
    send(20, { universe: 2 });
    send(30);
    expect(levels()).toEqual(new Uint8Array(512).fill(30));
    expect(levels(2)).toEqual(new Uint8Array(512).fill(20));
  });

  // Section 6.7.2: what comes late is discarded.
  it('are not those of a packet that comes late', () => {
    send(30, { sequence: 100 });
    send(40, { sequence: 99 });
    send(50, { sequence: 81 });
    expect(levels()?.[0]).toBe(30);
    send(60, { sequence: 101 });
    expect(levels()?.[0]).toBe(60);
  });

  // Section 6.2.6; ANSI E1.11: START code 0 alone has levels.
  it.each([
    ['preview data', { options: PREVIEW }],
    ['a termination', { options: TERMINATED }],
    ['another START code', { startCode: 0xdd }],
  ])('are not those of %s', (_, packet) => {
    send(30);
    send(40, packet);
    expect([undefined, 30]).toContain(levels()?.[0]);
  });
});

describe('who sends preview data alone', () => {
  it('is told of by name, until it is lost or sends for lights as well', () => {
    hear({ options: PREVIEW, name: 'Drawing' });
    expect(sources.previews(clock.now())).toEqual(['Drawing']);
    expect(heard()).toEqual([]);
    hear({ name: 'Drawing' });
    expect(sources.previews(clock.now())).toEqual([]);
    clock.advance(2499);
    hear({ options: PREVIEW, name: 'Drawing', universe: 2 });
    clock.advance(1);
    heard();
    expect(sources.previews(clock.now())).toEqual(['Drawing']);
    clock.advance(2500);
    expect(sources.previews(clock.now())).toEqual([]);
  });

  it('takes few places', () => {
    for (let who = 0; who < 1000; who++) hear({ who, options: PREVIEW });
    expect(sources.previews(clock.now())).toHaveLength(MOST_PREVIEWS);
  });
});

describe('a flood of sources', () => {
  it('from one address leaves room for another on its universe', () => {
    for (let who = 0; who < 5000; who++) hear({ who, name: 'Flood' });
    hear({ who: 9000, name: 'True' }, '192.0.2.8');
    expect(names()).toEqual([...new Array<string>(MOST_OF_ADDRESS).fill('Flood'), 'True']);
  });

  it('fills the places of its universe and no others, and those that were there stay', () => {
    hear({ who: 0, name: 'First' });
    for (let who = 1; who < 5000; who++) hear({ who, name: 'Flood' }, `198.51.100.${who & 0xff}`);
    hear({ who: 9000, universe: 2, name: 'Elsewhere' });
    hear({ who: 0, name: 'First', priority: 50 });
    const all = heard();
    expect(all.filter(({ universe }) => universe === 1)).toHaveLength(MOST_OF_ONE);
    expect(all[0]).toMatchObject({ name: 'First', priority: 50 });
    expect(all.at(-1)).toMatchObject({ name: 'Elsewhere' });
  });

  it('of all universes fills all places and no more, and makes room when it ends', () => {
    const universes = Array.from({ length: 100 }, (_, i) => i + 1);
    watch(universes);
    for (let i = 0; i < 5000; i++) hear({ who: i, universe: (i % 100) + 1 }, `198.51.100.${i % 251}`);
    expect(heard()).toHaveLength(MOST_SOURCES);
    clock.advance(2500);
    hear({ who: 9999, universe: 100, name: 'True' });
    expect(names()).toEqual(['True']);
  });
});
