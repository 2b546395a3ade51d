import { describe, expect, test } from 'vitest';
import type { WireReport } from '../../../node/api/contract.ts';
import { packetRate, rateWords, type Sample, sendingWords, withReport } from '../../../ui/src/wire/rates.ts';

function report(packets: number, lastSentAt: number | null): WireReport {
  const output = { id: 'main', protocol: 'sacn', state: 'sending', towards: '', packets, dropped: 0, errors: [] } as const;
  return {
    type: 'wire',
    outputs: [{ ...output, universes: [{ universe: 3, packets, lastSentAt }] }],
    frames: 0,
    rate: 40,
    worstInterval: 25,
    sources: [],
  };
}
/** Rows of: when it came here, packets so far, when the last one left by the node's clock. */
const rateAfter = (...rows: readonly [at: number, packets: number, sentAt: number | null][]): number | undefined => {
  let samples: Sample[] = [];
  for (const [at, packets, sentAt] of rows) samples = withReport(samples, report(packets, sentAt), at);
  return packetRate(samples, 'main', 3);
};

describe('packets a second', () => {
  test('needs two reports', () => {
    expect(rateAfter()).toBeUndefined();
    expect(rateAfter([0, 100, 50])).toBeUndefined();
  });

  test('is counted by the node’s clock: a report that came late changes nothing', () => {
    expect(rateAfter([0, 100, 90_000], [500, 120, 90_500])).toBe(40);
    expect(rateAfter([0, 100, 90_000], [730, 120, 90_500])).toBe(40);
  });

  test('is nothing when nothing was sent', () => {
    expect(rateAfter([0, 100, 90_000], [500, 100, 90_000])).toBe(0);
    expect(rateAfter([0, 0, null], [500, 0, null])).toBe(0);
  });

  test('falls when the sending stops, though the last packet keeps its time', () => {
    // 20 packets in half a second, then none for half a second: 20 over the whole second that was watched
    expect(rateAfter([0, 100, 90_000], [500, 120, 90_500], [1000, 120, 90_500])).toBe(20);
  });

  test('about one a second of an unchanging universe is about one, not 0 and 2 in turn', () => {
    expect(rateAfter([0, 10, 0], [500, 10, 0], [1000, 11, 1000], [1500, 11, 1000], [2000, 12, 2000])).toBe(1);
  });

  test('an output that was built anew counts from nothing', () => {
    expect(rateAfter([0, 5000, 90_000], [500, 4, 90_500], [1000, 24, 91_000])).toBe(40);
  });

  test('does not look further back than four seconds', () => {
    // 40 a second at first, 10 a second for the last 4 s
    expect(rateAfter([0, 0, 0], [1000, 40, 1000], [2000, 50, 2000], [3000, 60, 3000], [4000, 70, 4000], [5000, 80, 5000])).toBe(10);
  });

  test('an output or a universe that is not there has none', () => {
    const samples = withReport(withReport([], report(1, 1), 0), report(2, 2), 500);
    expect(packetRate(samples, 'other', 3)).toBeUndefined();
    expect(packetRate(samples, 'main', 4)).toBeUndefined();
  });

  test.each([
    [undefined, 'its packets are being counted'],
    [0, 'no packets'],
    [1.02, 'nothing changes, so about one packet a second'],
    [39.96, '40 packets a second'],
  ])('%s in words', (rate, words) => {
    expect(rateWords(rate)).toBe(words);
  });
});

test('a universe that no output carries is said to be so', () => {
  const samples = withReport(withReport([], report(1, 1), 0), report(2, 1000), 1000);
  expect(sendingWords([], 3)).toBe('Its packets are being counted.');
  expect(sendingWords(samples, 3)).toBe('sACN: nothing changes, so about one packet a second.');
  expect(sendingWords(samples, 4)).toBe('No output carries it.');
});
