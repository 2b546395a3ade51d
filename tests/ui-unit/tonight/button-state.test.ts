import { describe, expect, it } from 'vitest';
import type { Playing } from '../../../node/api/contract.ts';
import { fillOf, shareAt } from '../../../ui/src/tonight/button-state.ts';

const entry = (button: string, state: Playing['state'], weight: number): Playing => ({
  item: 'look:any',
  name: 'Any',
  button,
  unattended: false,
  state,
  weight,
  isUnderneath: false,
  startedAt: 0,
});
const fade = { from: 1000, until: 5000 };

describe('the fill of a button', () => {
  it('follows the time of the fade where nothing is known of its entries', () => {
    expect(fillOf({ id: 'a', state: 'coming', fade }, { now: 2000, playing: [] })).toEqual({
      at: 2000,
      until: 5000,
      from: 0.25,
      to: 1,
    });
    expect(fillOf({ id: 'a', state: 'going', fade }, { now: 2000, playing: [] })).toEqual({
      at: 2000,
      until: 5000,
      from: 0.75,
      to: 0,
    });
  });

  it('is as far as the latest of its entries while they come', () => {
    const playing = [entry('a', 'coming', 0.9), entry('a', 'coming', 0.4), entry('b', 'coming', 0.1)];
    expect(fillOf({ id: 'a', state: 'coming', fade }, { now: 2000, playing })?.from).toBe(0.4);
  });

  it('goes from where it was when it is let go half way up', () => {
    const playing = [entry('a', 'going', 0.3)];
    expect(fillOf({ id: 'a', state: 'going', fade }, { now: 1000, playing })).toEqual({ at: 1000, until: 5000, from: 0.3, to: 0 });
  });

  it('is none while a button rests', () => {
    expect(fillOf({ id: 'a', state: 'on' }, { now: 0, playing: [] })).toBeUndefined();
    expect(fillOf({ id: 'a', state: 'off' }, { now: 0, playing: [] })).toBeUndefined();
  });

  it('moves evenly to its end and stays there', () => {
    const fill = { at: 1000, until: 3000, from: 0.5, to: 1 };
    expect([0, 1000, 2000, 3000, 9000].map((now) => shareAt(fill, now))).toEqual([0.5, 0.5, 0.75, 1, 1]);
  });
});
