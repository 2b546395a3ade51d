import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { tappedTempo } from '../../node/plan/tempo.ts';

const seconds = (...taps: number[]): number[] => taps.map((tap) => tap * 1000);

describe('tapped tempo', () => {
  // By hand: taps 0, .5, 1, 1.5 → 120.
  it('reads the published row of taps as 120', () => {
    expect(tappedTempo(seconds(0, 0.5, 1, 1.5))).toBeCloseTo(120, 9);
  });

  it('says nothing of fewer than four taps', () => {
    expect(tappedTempo(seconds(0, 0.5, 1))).toBeUndefined();
  });

  // By hand: t = 0, .52, .98, 1.5 over i = 0..3: slope = Σ(i-1.5)(t-.75) / 5 = (1.125 + .115 + .115 + 1.125) / 5 = .496 s.
  it('draws the least-squares line through uneven taps', () => {
    expect(tappedTempo(seconds(0, 0.52, 0.98, 1.5))).toBeCloseTo(60 / 0.496, 9);
  });

  it('hears the last eight only, so it follows a change of music', () => {
    const slow = seconds(0, 1, 2, 3);
    const quick = Array.from({ length: 8 }, (_, i) => 3000 + 400 * (i + 1));
    expect(tappedTempo([...slow, ...quick])).toBeCloseTo(150, 9);
  });

  it('drops the gap of a missed tap', () => {
    expect(tappedTempo(seconds(0, 0.5, 1, 2.13, 2.63, 3.13))).toBeCloseTo(120, 9);
  });

  it('begins anew after a pause', () => {
    expect(tappedTempo(seconds(0, 0.5, 1, 1.5, 6, 6.5, 7))).toBeUndefined();
    expect(tappedTempo(seconds(0, 0.5, 1, 1.5, 6, 6.4, 6.8, 7.2))).toBeCloseTo(150, 9);
  });

  // The limits of the tempo command, core/commands.ts.
  it('says nothing outside 20 to 300', () => {
    expect(tappedTempo(seconds(0, 0.1, 0.2, 0.3))).toBeUndefined();
    expect(tappedTempo(seconds(0, 2.9, 5.8, 8.7))).toBeCloseTo(60 / 2.9, 9);
  });

  it('finds the tempo of even taps, whenever they begin and however many they are', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 45, max: 240 }),
        fc.integer({ min: 0, max: 1e9 }),
        fc.integer({ min: 4, max: 12 }),
        (bpm, at, taps) => {
          const even = Array.from({ length: taps }, (_, i) => at + (60_000 / bpm) * i);
          expect(tappedTempo(even)).toBeCloseTo(bpm, 4);
        },
      ),
    );
  });
});
