import { describe, expect, it } from 'vitest';
import { acceptsSequence } from '../../node/monitor/sources.ts';
import { ARTNET_NUMBERS, SACN_NUMBERS, Sequence } from '../../node/outputs/sequence.ts';

/**
 * E1.31-2018 section 6.7.2 read anew, as a list: discarded are the number that was accepted last and the nineteen before it; all else is
 * taken.
 */
const LATE = 20;
const late = (last: number, next: number): boolean =>
  Array.from({ length: LATE }, (_, behind) => (last + 256 - behind) % 256).includes(next);

const everyNumber = Array.from({ length: 256 }, (_, i) => i);
const start = (numbers: typeof SACN_NUMBERS, count: number): number[] => {
  const sequence = new Sequence(numbers);
  return Array.from({ length: count }, () => sequence.take());
};

/** How many of `packets` somebody refuses who took `last` before, going on from what he takes. */
function refused(packets: readonly number[], last: number, takes: (last: number, next: number) => boolean): number {
  let at = last;
  let count = 0;
  for (const packet of packets) {
    if (takes(at, packet)) at = packet;
    else count++;
  }
  return count;
}

describe('our reading of the sequence rule', () => {
  it('is the standard’s, for every pair', () => {
    for (const last of everyNumber) {
      for (const next of everyNumber) if (acceptsSequence(last, next) === late(last, next)) expect.fail(`${next} after ${last}`);
    }
  });
});

describe('a source that begins again under the same identity', () => {
  const rules = [
    ['our own', acceptsSequence],
    ['the standard’s, written anew', (last: number, next: number) => !late(last, next)],
  ] as const;

  it.each(rules)('is refused one packet at most, wherever its receiver stood, by the rule that is %s', (_, takes) => {
    for (const last of everyNumber)
      expect(refused(start(SACN_NUMBERS, 600), last, takes), `last was ${last}`).toBeLessThanOrEqual(1);
  });

  it.each(rules)('is refused one at most even where one or two of the first four get lost, by the rule that is %s', (_, takes) => {
    const packets = start(SACN_NUMBERS, 600);
    for (let lost = 0; lost < 16; lost++) {
      const arriving = packets.filter((_, i) => (lost & (1 << i)) === 0);
      if (packets.length - arriving.length > 2) continue;
      for (const last of everyNumber) {
        expect(refused(arriving, last, takes), `last was ${last}, lost were ${lost.toString(2)}`).toBeLessThanOrEqual(1);
      }
    }
  });

  // Some receivers discard what is more than twenty away, ahead or behind, as the npm package "sacn" does: a jump of twenty they take.
  it('is not refused for its jumps where nobody remembers it', () => {
    const steps = start(SACN_NUMBERS, 600).map((number, i, all) => Math.abs(number - (all[i - 1] ?? 0)));
    expect(Math.max(...steps.filter((step) => step < 255))).toBe(20);
  });

  it('would be refused up to twenty, did it count on from 0', () => {
    const counting = Array.from({ length: 600 }, (_, i) => i % 256);
    expect(Math.max(...everyNumber.map((last) => refused(counting, last, acceptsSequence)))).toBe(20);
  });

  // Art-Net 4 leaves open what a receiver discards. The strictest that make sense: all of the half circle behind, or one more or less.
  it.each([120, 126, 127, 128])(
    'is refused two packets at most by an Art-Net receiver that discards what is up to %i behind',
    (window) => {
      const takes = (last: number, next: number): boolean => {
        const behind = (last - next + 255) % 255;
        return behind > window;
      };
      for (const last of everyNumber.slice(1))
        expect(refused(start(ARTNET_NUMBERS, 600), last, takes), `last was ${last}`).toBeLessThanOrEqual(2);
    },
  );
});

describe('the numbers', () => {
  // E1.31-2018 section 6.2.5: one after the other, 0 to 255; Art-Net 4: 1 to 255, as 0 switches the receiver's check off.
  it.each([
    [SACN_NUMBERS, 0, 256, 20],
    [ARTNET_NUMBERS, 1, 255, 86],
  ] as const)('go one by one after the first four: %j', (numbering, lowest, count, stride) => {
    const numbers = start(numbering, 1000);
    for (const number of numbers) expect(number).toBeGreaterThanOrEqual(lowest);
    for (const number of numbers) expect(number).toBeLessThanOrEqual(255);
    const steps = numbers.slice(1).map((number, i) => (number - (numbers[i] ?? 0) + count) % count);
    expect(steps.slice(0, 3)).toEqual([stride, stride, stride]);
    expect(new Set(steps.slice(3))).toEqual(new Set([1]));
  });
});
