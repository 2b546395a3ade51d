import { beforeEach, describe, expect, it } from 'vitest';
import { HeldJournal } from '../../node/api/held-journal.ts';
import type { HeldBack } from '../../node/core/held-back.ts';
import { HeldBackTable } from '../../node/store/held-back.ts';
import { FakeClock } from '../helpers/fake-clock.ts';
import { Offline } from '../helpers/offline.ts';
import { par, tinyShow } from '../helpers/tiny-show.ts';
import { open } from '../store/new-folder.ts';

const night = new Offline(tinyShow({ fixtures: [par('one', 1)], looks: [] }));
let clock: FakeClock;
let written: HeldBack[];
let journal: HeldJournal;

beforeEach(() => {
  clock = new FakeClock();
  written = [];
  journal = new HeldJournal({
    store: {
      ask: ((_: string, row: HeldBack) => {
        written.push(row);
        return Promise.resolve();
      }) as never,
    },
    clock,
    names: () => ['Head 1', 'Head 2', 'Blinder', 'Head 4', 'Head 5'],
    state: () => night.state(0),
  });
});

/** The engine reports twice a second; a guard acts in so many of the reports. */
function acts(guard: string, places: readonly number[], reports: number): void {
  for (let i = 0; i < reports; i++) {
    journal.take({ guards: [{ guard, places }] });
    clock.advance(500);
  }
}

describe('what guards hold back', () => {
  it('is a line when it begins, in words, and the same line again each minute while it goes on', () => {
    acts('dwell', [1], 1);
    expect(written).toMatchObject([{ what: 'Head 2 dimmed: a beam rested where guests may look into it', times: 1 }]);
    acts('dwell', [1], 10 * 120);
    expect(written).toHaveLength(11);
    expect(new Set(written.map(({ since }) => since)).size).toBe(1);
  });

  it('that begins again within ten minutes is the same line with the number of times; later it is another', () => {
    for (let i = 0; i < 5; i++) {
      acts('blinders', [2], 4);
      clock.advance(60_000);
    }
    expect(written.at(-1)).toMatchObject({ times: 5 });
    expect(new Set(written.map(({ since }) => since)).size).toBe(1);
    clock.advance(10 * 60_000);
    acts('blinders', [2], 1);
    expect(written.at(-1)).toMatchObject({ times: 1 });
    expect(new Set(written.map(({ since }) => since)).size).toBe(2);
  });

  it('floods nothing: what flickers all night is at most a line a minute and a few rows', () => {
    for (let i = 0; i < 8 * 7200; i++) {
      if (i % 3 === 0) acts('flash', [], 1);
      else clock.advance(500);
    }
    expect(written.length).toBeLessThan(8 * 60 + 20);
    expect(new Set(written.map(({ since }) => since)).size).toBe(1);
  });

  it('names each light once, and of many the number', () => {
    acts('dwell', [0], 1);
    acts('dwell', [1, 0], 1);
    expect(written.at(-1)?.what).toBe('Head 1 and Head 2 dimmed: a beam rested where guests may look into it');
    acts('dwell', [3, 4], 1);
    expect(written.at(-1)?.what).toBe('4 lights dimmed: a beam rested where guests may look into it');
  });

  it('is not written where the state tells it: a blackout, a master, heads that are led at their speed', () => {
    for (const guard of ['blackout', 'masters', 'motion', 'fallen']) acts(guard, [0], 3);
    expect(written).toEqual([]);
  });

  it('is kept in the store as one row a stretch, the newest first', () => {
    const table = new HeldBackTable(open());
    acts('dwell', [1], 130);
    for (const row of written) table.keep(row);
    const [first] = written;
    table.keep({ guard: 'uv', since: clock.wall(), until: clock.wall(), what: 'UV dimmed', times: 1 });
    expect(table.after(0)).toEqual([
      { guard: 'uv', since: clock.wall(), until: clock.wall(), what: 'UV dimmed', times: 1 },
      { ...written.at(-1), since: first?.since },
    ]);
    expect(table.after(clock.wall() + 1)).toEqual([]);
  });
});
