import { describe, expect, it } from 'vitest';
import { Discovery } from '../../../node/outputs/sacn/discovery.ts';

const source = { cid: new Uint8Array(16), name: 'Tent' };

/** Asks every 25 ms over `[from, until)`. @returns when there was something to send, and how many universes it listed. */
function ask(discovery: Discovery, from: number, until: number): [number, number][] {
  const told: [number, number][] = [];
  for (let now = from; now < until; now += 25) {
    const pages = discovery.due(now);
    // Table 4-3: the list begins at octet 120, two octets a universe.
    if (pages.length > 0) told.push([now, pages.reduce((sum, page) => sum + (page.length - 120) / 2, 0)]);
  }
  return told;
}

// E1.31-2018 sections 4.3 and 12: once every ten seconds; when the list has changed inside an interval, one set more at most.
describe('universe discovery', () => {
  it('is told at once and then every ten seconds', () => {
    const discovery = new Discovery(source);
    discovery.list([1, 2]);
    expect(ask(discovery, 0, 40_000)).toEqual([
      [0, 2],
      [10_000, 2],
      [20_000, 2],
      [30_000, 2],
    ]);
  });

  it('keeps to its ten seconds on the whole when frames come late', () => {
    const discovery = new Discovery(source);
    discovery.list([1]);
    const told: number[] = [];
    for (let now = 0; now < 600_000; now += 33) if (discovery.due(now).length > 0) told.push(now);
    expect(told).toHaveLength(60);
    for (const [i, at] of told.entries()) expect(at - i * 10_000).toBeLessThan(33);
  });

  it('tells a change at once, but only once inside an interval', () => {
    const discovery = new Discovery(source);
    discovery.list([1]);
    const told = ask(discovery, 0, 3000);
    discovery.list([1, 2]);
    told.push(...ask(discovery, 3000, 4000));
    discovery.list([1, 2, 3]);
    told.push(...ask(discovery, 4000, 21_000));
    expect(told).toEqual([
      [0, 1],
      [3000, 2],
      [10_000, 3],
      [20_000, 3],
    ]);
  });

  it('the same list over again is no change', () => {
    const discovery = new Discovery(source);
    discovery.list([1, 2]);
    ask(discovery, 0, 1000);
    discovery.list([1, 2]);
    expect(ask(discovery, 1000, 9000)).toEqual([]);
  });

  it('says nothing while there is nothing to tell, and tells an empty list once', () => {
    const discovery = new Discovery(source);
    expect(ask(discovery, 0, 25_000)).toEqual([]);
    discovery.list([7]);
    expect(ask(discovery, 25_000, 31_000)).toEqual([
      [25_000, 1],
      [30_000, 1],
    ]);
    discovery.list([]);
    expect(ask(discovery, 31_000, 90_000)).toEqual([[31_000, 0]]);
  });

  it('goes on after a long pause without catching up', () => {
    const discovery = new Discovery(source);
    discovery.list([1]);
    ask(discovery, 0, 5000);
    expect(ask(discovery, 95_000, 116_000).map(([at]) => at)).toEqual([95_000, 105_000, 115_000]);
  });
});
