import { describe, expect, it } from 'vitest';
import { inShort, Vigil } from '../../node/engine/vigil.ts';

const report = (at: number, frames: number, worstInterval = 25) => ({ at, frames, worstInterval });

describe('the vigil over the engine', () => {
  it('is content while frames are drawn, whatever becomes of them', () => {
    let seen = report(1000, 40);
    const vigil = new Vigil(() => seen);
    expect(vigil.isOnTime(1100)).toBe(true);
    seen = report(3500, 140);
    expect(vigil.isOnTime(3600)).toBe(true);
    // At the slowest rate that there is, one a second.
    seen = report(6500, 142, 1001);
    expect(vigil.isOnTime(6600)).toBe(true);
  });

  it('is not when there is no report, an old one, one of no new frame, or of frames that are far apart', () => {
    let seen: ReturnType<typeof report> | undefined;
    const vigil = new Vigil(() => seen);
    expect(vigil.isOnTime(1000)).toBe(false);
    seen = report(1000, 40);
    expect(vigil.isOnTime(1100)).toBe(true);
    expect(vigil.isOnTime(1600)).toBe(false);
    seen = report(2000, 80);
    expect(vigil.isOnTime(4100)).toBe(false);
    seen = report(5000, 81, 2900);
    expect(vigil.isOnTime(5100)).toBe(false);
    seen = report(8000, 200);
    expect(vigil.isOnTime(8100)).toBe(true);
  });
});

describe('the short line', () => {
  it('names the show and how each output fares', () => {
    const output = { id: 'a', packets: 1, dropped: 0, errors: [], universes: [] };
    const outputs = [
      { ...output, protocol: 'sacn', state: 'sending', towards: 'multicast on eth0' },
      { ...output, protocol: 'artnet', state: 'waiting', towards: 'subscribers' },
    ] as const;
    expect(inShort('Barn', { outputs })).toBe('Playing "Barn"; sACN sending: multicast on eth0; Art-Net waiting: subscribers');
    expect(inShort('Barn', undefined)).toBe('Playing "Barn"');
  });
});
