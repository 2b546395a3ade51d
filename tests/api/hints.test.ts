import { describe, expect, it } from 'vitest';
import { Hints } from '../../node/api/hints.ts';

const MINUTE = 60_000;
const DOTS = 'No haze runs: beams are only dots where they land';
const nothing = { beams: false, haze: false, warming: [] };
const beams = { ...nothing, beams: true };

/** What is said at each second from `from` until `until`. */
const over = (hints: Hints, looked: Parameters<Hints['tell']>[0], from: number, until: number): string[][] =>
  Array.from({ length: (until - from) / 1000 }, (_, i) => hints.tell(looked, from + i * 1000));

describe('beams without haze', () => {
  it('are said to be only dots when they come on, for half a minute, and not again until they were dark for a while', () => {
    const hints = new Hints();
    expect(over(hints, beams, 0, 120_000).filter(([said]) => said === DOTS)).toHaveLength(30);
    over(hints, nothing, 120_000, 140_000);
    expect(over(hints, beams, 140_000, 150_000).flat()).toEqual([]);
    over(hints, nothing, 150_000, 230_000);
    expect(hints.tell(beams, 230_000)).toEqual([DOTS]);
  });

  it('are not said so while haze runs or hangs, nor where the show has no machine for it', () => {
    const hints = new Hints();
    expect(hints.tell({ ...beams, haze: true }, 0)).toEqual([]);
    over(hints, nothing, 1000, 2 * MINUTE);
    expect(hints.tell(beams, 2 * MINUTE)).toEqual([]);
    over(hints, nothing, 3 * MINUTE, 8 * MINUTE);
    expect(hints.tell(beams, 8 * MINUTE)).toEqual([DOTS]);
    expect(new Hints().tell({ ...beams, haze: undefined }, 0)).toEqual([]);
  });
});

it('a machine that warms up says so from when it is first asked, for as long as that takes, once a run', () => {
  const hints = new Hints();
  const asked = { ...nothing, haze: true, warming: [{ name: 'Hazer', minutes: 5 }] };
  const words = 'Hazer: may be warming up, about 5 minutes from when it gets power';
  expect(over(hints, asked, 0, 10 * MINUTE).filter(([said]) => said === words)).toHaveLength(300);
  expect(hints.tell(asked, 60 * MINUTE)).toEqual([]);
});
