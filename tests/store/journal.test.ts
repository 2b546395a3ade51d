import { describe, expect, it } from 'vitest';
import type { PlayState } from '../../node/playback/state.ts';
import type { Db } from '../../node/store/database.ts';
import { JournalTable } from '../../node/store/journal.ts';
import { ShowTable } from '../../node/store/shows.ts';
import { tinyShow } from '../helpers/tiny-show.ts';
import { newFolder, open } from './new-folder.ts';

const AT = Date.UTC(2030, 5, 15, 20, 0, 0);
/** The same instant by the clock that plays. */
const PLAYING_AT = 77_000.125;
const state = (bpm: number): PlayState => ({
  number: 7,
  entries: [
    {
      id: 1,
      item: 'look:dinner',
      button: 'dinner',
      startedAt: AT + 0.125,
      startBeat: 3,
      rise: { from: 0, to: 1, at: AT, duration: 2000 },
    },
    {
      id: 2,
      item: 'hit:flash',
      startedAt: AT,
      startBeat: 0,
      rise: { from: 0, to: 1, at: AT, duration: 0 },
      release: { at: AT + 8000, fade: 500, from: 0.75 },
    },
  ],
  nextId: 3,
  all: { from: 0, to: 1 / 3, at: AT, duration: 100 },
  groups: { walls: { from: 1, to: 0.5, at: AT, duration: 0 } },
  blackout: true,
  tempo: { bpm, at: AT, beat: 17, ahead: -0.25 },
  alone: false,
});

function begin(db: Db = open()): { db: Db; journal: JournalTable; write: (bpm: number, at?: number) => number } {
  const { revision } = new ShowTable(db).keep(tinyShow({}), 'a test', AT);
  const journal = new JournalTable(db);
  const write = (bpm: number, at = AT): number =>
    journal.write({ at: PLAYING_AT, wall: at, revision, who: 'a test', command: { do: 'tempo', bpm }, state: state(bpm) });
  return { db, journal, write };
}

describe('the journal', () => {
  it('remembers nothing before the first row', () => {
    expect(new JournalTable(open()).last()).toBeUndefined();
  });

  it('gives no number twice that it has had, though the rows up to there are lost', () => {
    const { db, journal, write } = begin();
    expect([write(100), write(101)]).toEqual([1, 2]);
    const row = { at: PLAYING_AT, wall: AT, revision: 1, who: 'a test', command: null, state: state(102) };
    expect([journal.write({ ...row, above: 2 }), journal.write({ ...row, above: 1 })]).toEqual([3, 4]);
    db.exec('DELETE FROM journal WHERE number > 1');
    expect([journal.write({ ...row, above: 4 }), write(103)]).toEqual([5, 6]);
  });

  it('keeps the light of masters that were set when they were shares of it', () => {
    const { db, journal, write } = begin();
    write(100);
    db.prepare('UPDATE journal SET state = ?').run(JSON.stringify(state(100)));
    const { all, groups, entries } = journal.last()?.wasOn?.state ?? state(0);
    // L* of a third and of half the light is 64.43 and 76.07 (CIE 15).
    expect(all).toEqual({ ...state(100).all, to: expect.closeTo(0.6443, 4) });
    expect(groups.walls).toMatchObject({ from: expect.closeTo(1, 9), to: expect.closeTo(0.7607, 4) });
    expect(entries).toEqual(state(100).entries);
  });

  it('gives back the newest row to the last fraction, also after the next opening and when the clock has gone back', () => {
    const folder = newFolder();
    const { journal, write } = begin(open(folder));
    write(100, AT);
    write(101.5, AT - 86_400_000.5);
    const wasOn = { show: 'tiny', at: PLAYING_AT, wall: AT - 86_400_000.5, revision: 1, state: state(101.5) };
    for (const one of [journal, new JournalTable(open(folder))])
      expect(one.last()).toEqual({ number: 2, show: 'tiny', revision: 1, wasOn, isOlder: false });
  });

  it.each([
    ['null', 'null'],
    ['cut off', '{"number":7,"entries":['],
    ['not a number where one belongs', JSON.stringify({ ...state(100), nextId: Number.NaN })],
    ['beyond all numbers', JSON.stringify(state(100)).replace('"nextId":3', '"nextId":1e999')],
  ])('goes back to the row before where the newest is %s, and says so; the revision is still known', (_what, text) => {
    const { db, journal, write } = begin();
    write(90);
    const { revision } = new ShowTable(db).keep(tinyShow({ tempo: 77 }), 'a test', AT);
    db.prepare("INSERT INTO journal (at, revision, who, state) VALUES (1, ?, 'a test', ?)").run(revision, text);
    expect(journal.last()).toMatchObject({ revision, isOlder: true, wasOn: { revision: 1, state: state(90) } });
    db.exec('DELETE FROM journal WHERE revision = 1');
    expect(journal.last()).toEqual({ number: 2, show: 'tiny', revision, isOlder: true });
  });

  it('takes a row without a command, as a start writes it', () => {
    const { journal } = begin();
    journal.write({ at: PLAYING_AT, wall: AT, revision: 1, who: 'node', command: null, state: state(120) });
    expect(journal.last()?.wasOn?.state).toEqual(state(120));
  });

  it('keeps more than a night of presses, drops the oldest of what is over, and never the newest', () => {
    const { db, journal, write } = begin();
    const bounds = () => db.prepare('SELECT count(*) AS count, min(number) AS oldest, max(number) AS newest FROM journal').get();
    // One transaction, so that the test does not wait for the disk twelve thousand times.
    const many = db.transaction((from: number, to: number) => {
      for (let i = from; i <= to; i++) write(i);
    });
    many(1, 5000);
    expect(bounds()).toEqual({ count: 5000, oldest: 1, newest: 5000 });
    many(5001, 12_345);
    const { count, oldest, newest } = bounds() as { count: number; oldest: number; newest: number };
    expect(newest).toBe(12_345);
    expect(count).toBe(newest - oldest + 1);
    expect(count).toBeGreaterThanOrEqual(5000);
    expect(count).toBeLessThan(5500);
    expect(journal.last()?.wasOn?.state.tempo.bpm).toBe(12_345);
  });
});
