import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { Control, type ControlParts } from '../../node/api/control.ts';
import type { EditAnswer, Edited } from '../../node/api/edit-contract.ts';
import { NodeSettings } from '../../node/api/node-settings.ts';
import type { Command } from '../../node/core/commands.ts';
import { Heartbeat } from '../../node/core/heartbeat.ts';
import { type CompiledShow, compileShow } from '../../node/playback/compile.ts';
import { pictureShow } from '../../node/playback/picture.ts';
import { changeShow, freshState, reduce } from '../../node/playback/reduce.ts';
import type { PlayState } from '../../node/playback/state.ts';
import { standardSettings } from '../../node/settings/check.ts';
import type { AskedChange } from '../../node/show/change.ts';
import type { Show } from '../../node/show/document.ts';
import { openDatabase } from '../../node/store/database.ts';
import { FactTable } from '../../node/store/facts.ts';
import { type JournalRow, JournalTable } from '../../node/store/journal.ts';
import type { Lost } from '../../node/store/lost.ts';
import type { Start } from '../../node/store/show-files.ts';
import { ShowTable, type StoredShow } from '../../node/store/shows.ts';
import type { Work } from '../../node/store/work.ts';
import { FakeClock } from '../helpers/fake-clock.ts';
import { storeInPlace } from '../helpers/store-in-place.ts';
import { everybody, tinyShow } from '../helpers/tiny-show.ts';

/** The engine as the main thread knows it: keeps what it is asked, and carries it out by the real rules when the test says so. */
class RecordingEngine {
  readonly commands: Command[] = [];
  readonly loads: CompiledShow[] = [];
  readonly outputs = vi.fn();
  readonly zone = vi.fn();
  readonly start = vi.fn((show: CompiledShow, state: PlayState) => {
    this.#show = show;
    this.#state = state;
  });
  #show!: CompiledShow;
  #state!: PlayState;
  readonly #waiting: (() => void)[] = [];

  command(command: Command): number {
    const number = this.commands.push(command);
    this.#waiting.push(() => {
      this.#state = reduce(this.#show, this.#state, command, clock.now(), number);
      control.played(this.#state, [{ command, number }], undefined);
    });
    return number;
  }

  load(show: CompiledShow): number {
    const number = this.loads.push(show);
    this.#waiting.push(() => {
      this.#state = changeShow(this.#show, show, this.#state, clock.now());
      this.#show = show;
      control.played(this.#state, [], number);
    });
    return number;
  }

  /** Carries out the next that it was asked. */
  step(): void {
    const next = this.#waiting.shift();
    if (next === undefined) throw new Error('The engine was asked for nothing');
    next();
  }

  /** Something that it does by itself. */
  byItself(command: Command): void {
    this.#state = reduce(this.#show, this.#state, command, clock.now());
    control.played(this.#state, [{ command }], undefined);
  }
}

/** The real store, on a disk that can be slow or refuse. */
class Disk {
  readonly rows: JournalRow[] = [];
  refuses = false;
  readonly #busy: (() => void)[] = [];
  #slow: keyof Work | undefined;

  readonly store: ControlParts['store'] = {
    ask: (name, ...args) => this.#work(name, () => inPlace.ask(name, ...args)),
    keepState: (row) =>
      this.#work('keepState', async () => {
        const number = await inPlace.ask('keepState', row);
        this.rows.push(row);
        return number;
      }),
  };

  /** Work of this name is not done until {@link goOn}. */
  hold(name: keyof Work): void {
    this.#slow = name;
  }

  goOn(): void {
    this.#slow = undefined;
    for (const done of this.#busy.splice(0)) done();
  }

  async #work<T>(name: keyof Work, work: () => Promise<T>): Promise<T> {
    if (name === this.#slow) await new Promise<void>((done) => this.#busy.push(done));
    if (this.refuses) throw Object.assign(new Error('database or disk is full'), { code: 'SQLITE_FULL' });
    return work();
  }
}

const showOf = (...looks: string[]): Show =>
  tinyShow({
    looks: looks.map((id) => ({ id, fade: 0, parts: [{ who: everybody, level: 0.5 }] })),
    groups: [{ id: 'walls', name: 'Walls', fixtures: ['lamp'] }],
    buttons: [{ id: 'all', name: 'Everything on', starts: [{ look: looks[0] as string }] }],
    start: [{ look: looks[0] as string }],
  });
const press = (button: string): Command => ({ do: 'press', button });
const tempo = (was: number, now: number): AskedChange => ({ do: 'set', kind: 'show', id: 'tiny', field: 'tempo', was, now });

let folder: string;
let db: ReturnType<typeof openDatabase>;
let inPlace: ReturnType<typeof storeInPlace>;
let clock: FakeClock;
let heartbeat: Heartbeat;
let engine: RecordingEngine;
let disk: Disk;
let control: Control;
let first: StoredShow;
let changes: string[];
let edits: Edited[];
let log: string[];

beforeEach(() => {
  vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout'] });
  folder = mkdtempSync(join(tmpdir(), 'duskhand-test-'));
  db = openDatabase(folder);
  inPlace = storeInPlace(db, folder);
  clock = new FakeClock();
  heartbeat = new Heartbeat();
  engine = new RecordingEngine();
  disk = new Disk();
  [changes, edits, log] = [[], [], []];
  first = new ShowTable(db).keep(showOf('dinner', 'dance'), 'import', clock.wall());
  control = controlOf({});
  control.start();
});
afterEach(() => {
  vi.useRealTimers();
  db.close();
  rmSync(folder, { recursive: true });
});

function controlOf(beginning: {
  draft?: { show: Show; revision: number };
  revision?: number;
  show?: CompiledShow;
  start?: Omit<Start, 'shows'>;
  lost?: readonly Lost[];
}): Control {
  const show = compileShow(first.show);
  const settings = new NodeSettings({ kept: standardSettings, areSet: false, flags: {}, zone: 'UTC', keep: async () => undefined });
  const parts = {
    ...{ engine, store: disk.store, clock, heartbeat, settings },
    changed: (what: string) => void changes.push(what),
    edited: (edit: Edited) => void edits.push(edit),
    log: (line: string) => void log.push(line),
  };
  return new Control(parts, {
    revision: first.revision,
    show,
    state: freshState(show, clock.now()),
    lost: [],
    start: { cid: 'a cid' },
    row: 0,
    ...beginning,
  });
}

/** Lets everything happen that waits for nothing but its turn. */
const turn = (): Promise<void> => new Promise((done) => setImmediate(done));

/** What has come of a promise by now. */
async function outcome(promise: Promise<unknown>): Promise<unknown> {
  let result: unknown = 'waits';
  const take = (value: unknown): void => {
    result = value;
  };
  promise.then(take, take);
  await turn();
  return result;
}

const playing = (): string[] => control.state.entries.map(({ item }) => item);

describe('a command', () => {
  it('reaches the engine at once and is answered, with its number, when the disk has what came of it', async () => {
    disk.hold('keepState');
    const answer = control.do(press('dance'), 'Phone');
    expect(engine.commands).toEqual([press('dance')]);
    expect(await outcome(answer)).toBe('waits');
    engine.step();
    expect(playing()).toContain('look:dance');
    expect(await outcome(answer)).toBe('waits');
    disk.goOn();
    expect(await outcome(answer)).toEqual({ command: press('dance'), number: 1 });
    expect(disk.rows.at(-1)).toMatchObject({ who: 'Phone', command: press('dance'), revision: first.revision });
    expect(disk.rows.at(-1)?.state).toEqual(control.state);
  });

  it('may name a button or a group by the words on it, however they are spelt; what goes on are ids', async () => {
    const pressed = control.do(press(' everything ON '), 'command line');
    const turned = control.do({ do: 'master', group: 'WALLS', level: 0.5 }, 'command line');
    engine.step();
    engine.step();
    expect(await pressed).toMatchObject({ command: press('all') });
    expect(await turned).toMatchObject({ command: { do: 'master', group: 'walls', level: 0.5 } });
  });

  it('that names what the show does not have is refused in words and never reaches the engine', async () => {
    await expect(control.do(press('disco'), 'Phone')).rejects.toThrow('There is no button "disco"; there is dinner, dance');
    await expect(control.do({ do: 'master', group: 'floor', level: 1 }, 'Phone')).rejects.toThrow(
      'There is no group "floor"; there is Walls',
    );
    expect(engine.commands).toEqual([]);
  });

  it('is a sign of life of a person, but not where it follows from a going', () => {
    const began = control.lastSign;
    clock.advance(1000);
    void control.do({ do: 'release', button: 'dance' }, 'Phone', 'nobody');
    expect(control.lastSign).toBe(began);
    void control.do(press('dance'), 'Phone');
    expect(control.lastSign).toBe(clock.now());
  });

  it('is one of an operator where only an operator may ask for it', () => {
    const began = heartbeat.lastOperator();
    clock.advance(1000);
    void control.do(press('dance'), 'Phone');
    expect(heartbeat.lastOperator()).toBe(began);
    void control.do({ do: 'arm-lasers', plan: true }, 'Phone');
    expect(heartbeat.lastOperator()).toBe(clock.now());
  });

  it('that takes back any press but the last is refused', async () => {
    const dance = control.do(press('dance'), 'Phone');
    const dinner = control.do(press('dinner'), 'Other phone');
    engine.step();
    engine.step();
    const [{ number: earlier }, { number: last }] = await Promise.all([dance, dinner]);
    await expect(control.do({ do: 'undo', number: earlier }, 'Phone')).rejects.toThrow('Only the last press can be taken back');
    const back = control.do({ do: 'undo', number: last }, 'Phone');
    engine.step();
    expect(await outcome(back)).toMatchObject({ number: 3 });
    await expect(control.do({ do: 'undo', number: last }, 'Phone')).rejects.toThrow('Only the last press can be taken back');
  });
});

describe('masters under a thumb', () => {
  const master = (level: number): Command => ({ do: 'master', level, fade: 0 });

  it('are answered without the disk, and written down four times a second, as they last stood', async () => {
    await turn();
    const before = disk.rows.length;
    disk.hold('keepState');
    for (let i = 1; i <= 10; i++) {
      const answer = control.do(master(i / 10), 'Phone');
      engine.step();
      expect(await outcome(answer)).toMatchObject({ number: i });
      await vi.advanceTimersByTimeAsync(20);
    }
    disk.goOn();
    expect(disk.rows).toHaveLength(before);
    await vi.advanceTimersByTimeAsync(50);
    expect(disk.rows.slice(before).map(({ state }) => state.all.to)).toEqual([1]);
    await vi.advanceTimersByTimeAsync(10_000);
    expect(disk.rows).toHaveLength(before + 1);
  });

  it('are written with a press that comes, or when the node stops', async () => {
    await turn();
    const before = disk.rows.length;
    void control.do(master(0.5), 'Phone');
    void control.do(press('dance'), 'Phone');
    engine.step();
    engine.step();
    await vi.advanceTimersByTimeAsync(1000);
    expect(disk.rows.slice(before).map(({ command, state }) => [command, state.all.to])).toEqual([[press('dance'), 0.5]]);
    void control.do(master(0.6), 'Phone');
    engine.step();
    await control.stop();
    expect(disk.rows.at(-1)?.state.all.to).toBe(0.6);
    await vi.advanceTimersByTimeAsync(1000);
    expect(disk.rows).toHaveLength(before + 2);
  });
});

describe('what the engine does by itself', () => {
  it('is told and written down as the doing of the node, and answers nobody', async () => {
    const answer = control.do(press('dance'), 'Phone');
    engine.byItself({ do: 'fall-back' });
    await turn();
    expect(control.state.alone).toBe(true);
    expect(disk.rows.at(-1)).toMatchObject({ who: 'node', command: { do: 'fall-back' } });
    expect(changes).toEqual(['state']);
    expect(await outcome(answer)).toBe('waits');
  });
});

describe('a disk that refuses', () => {
  it('costs no press: it is said once, tried again, and said when what plays is written down', async () => {
    disk.refuses = true;
    for (const button of ['dance', 'dinner']) {
      const answer = control.do(press(button), 'Phone');
      engine.step();
      expect(await outcome(answer)).toMatchObject({ command: press(button) });
    }
    expect(control.diskFails).toBe(true);
    expect(log).toEqual([expect.stringContaining('cannot be written down (database or disk is full)')]);
    await vi.advanceTimersByTimeAsync(30_000);
    expect(log).toHaveLength(1);
    disk.refuses = false;
    const before = disk.rows.length;
    await vi.advanceTimersByTimeAsync(5000);
    expect(control.diskFails).toBe(false);
    expect(log.slice(1)).toEqual(['What plays is written down again.']);
    expect(disk.rows.slice(before).map(({ state }) => state)).toEqual([control.state]);
    await vi.advanceTimersByTimeAsync(30_000);
    expect(disk.rows).toHaveLength(before + 1);
  });

  it('at the start is asked again to keep the show of the file that plays, and then what plays', async () => {
    disk.refuses = true;
    const show = compileShow({ ...showOf('dinner'), id: 'new' });
    control = controlOf({ revision: 0, show, start: { cid: 'a cid', file: { origin: 'new.json', key: 'new.json as it is' } } });
    control.start();
    const pressed = control.do(press('dinner'), 'Phone');
    engine.step();
    await pressed;
    expect(control).toMatchObject({ revision: 0, diskFails: true });
    expect(await outcome(control.edit({ editId: 'edit', changes: [tempo(120, 121)] }, mia))).toMatchObject({
      code: 'SQLITE_FULL',
    });
    disk.refuses = false;
    await vi.advanceTimersByTimeAsync(5000);
    await turn();
    expect(control.diskFails).toBe(false);
    expect(new ShowTable(db).read(control.revision).show.id).toBe('new');
    expect(disk.rows.at(-1)).toMatchObject({ revision: control.revision });
    expect(new FactTable(db).get('new.json as it is')).toBe('kept');
  });

  it('is not blamed where there is no show that could be kept', async () => {
    control = controlOf({ revision: 0, show: pictureShow([{ universe: 1, slots: new Uint8Array(512) }], 'The last picture') });
    const before = disk.rows.length;
    control.start();
    await turn();
    expect(control.diskFails).toBe(false);
    expect(disk.rows).toHaveLength(before);
    expect(new ShowTable(db).ids()).toEqual(['tiny']);
  });

  it('takes no import, and what plays goes on', async () => {
    disk.refuses = true;
    await expect(control.import(showOf('feast'), 'import')).rejects.toMatchObject({ code: 'SQLITE_FULL' });
    expect(engine.loads).toEqual([]);
    expect(control.revision).toBe(first.revision);
  });
});

describe('a show that is imported', () => {
  it('plays when the engine says so; until then buttons are those of before, and every press is answered', async () => {
    const imported = control.import(showOf('dinner', 'feast'), 'import');
    await turn();
    const during = control.do(press('dance'), 'Phone');
    await expect(control.do(press('feast'), 'Phone')).rejects.toThrow('There is no button "feast"');
    expect(control.revision).toBe(first.revision);
    engine.step();
    const { revision } = await imported;
    expect([control.revision, control.show.show.looks.map(({ id }) => id)]).toEqual([revision, ['dinner', 'feast']]);
    // The engine took it in behind the show, which has no such button any more.
    engine.step();
    expect(await outcome(during)).toMatchObject({ command: press('dance') });
    expect(playing()).toEqual(['look:dinner']);
    const after = control.do(press('feast'), 'Phone');
    engine.step();
    expect(await outcome(after)).toMatchObject({ command: press('feast') });
    expect(disk.rows.at(-1)?.revision).toBe(revision);
    expect(changes.filter((what) => what === 'show')).toHaveLength(1);
  });

  it('waits for the one before it, so that one at a time is on its way to the engine; the last one plays', async () => {
    const imports = ['one', 'two', 'three'].map((look) => control.import(showOf(look), 'import'));
    const presses: Promise<unknown>[] = [];
    for (const [i, imported] of imports.entries()) {
      await turn();
      expect(engine.loads).toHaveLength(i + 1);
      presses.push(control.do(press('all'), 'Phone'));
      engine.step();
      engine.step();
      await imported;
    }
    expect(await Promise.all(presses)).toHaveLength(3);
    expect(control.show.show.looks.map(({ id }) => id)).toEqual(['three']);
    expect(control.revision).toBe((await imports[2])?.revision);
    expect(playing()).toEqual(['look:three']);
  });
});

const mia = { id: 1, name: 'Mia' };

describe('an edit', () => {
  let made = 0;
  const edit = (...asked: AskedChange[]): Promise<EditAnswer> => control.edit({ editId: `edit-${++made}`, changes: asked }, mia);

  it('goes to the engine and to the disk side by side, is answered when both have it, and reuses all that it does not touch', async () => {
    disk.hold('keepEdit');
    const { show } = control;
    const answer = edit({ do: 'set', kind: 'look', id: 'dance', field: 'fade', was: 0, now: 3 });
    expect(await outcome(answer)).toBe('waits');
    engine.step();
    expect(await outcome(answer)).toBe('waits');
    disk.goOn();
    expect(await outcome(answer)).toMatchObject({ ok: true, revision: first.revision + 1, faults: [] });
    expect(control.revision).toBe(first.revision + 1);
    expect(control.show.rig).toBe(show.rig);
    expect(control.show.items.get('look:dinner')).toBe(show.items.get('look:dinner'));
    expect(control.show.items.get('look:dance')).not.toBe(show.items.get('look:dance'));
    expect(edits).toMatchObject([{ revision: first.revision + 1, from: first.revision, who: 'Mia' }]);
  });

  it('that the disk refuses is taken back, once the engine has taken it over: one show at a time is on its way', async () => {
    disk.hold('keepEdit');
    const answer = edit(tempo(120, 130)).catch((error: unknown) => error);
    await turn();
    disk.refuses = true;
    disk.goOn();
    await turn();
    expect(engine.loads.map(({ show }) => show.tempo)).toEqual([130]);
    engine.step();
    await turn();
    expect(engine.loads.map(({ show }) => show.tempo)).toEqual([130, 120]);
    engine.step();
    expect(await answer).toMatchObject({ code: 'SQLITE_FULL' });
    expect([control.revision, control.show.show.tempo]).toEqual([first.revision, 120]);
    expect(edits).toEqual([]);
    disk.refuses = false;
    const again = edit(tempo(120, 140));
    await turn();
    engine.step();
    expect(await outcome(again)).toMatchObject({ ok: true });
  });

  it('on what somebody else has changed meanwhile is told by whom, and changes nothing', async () => {
    const mine = edit(tempo(120, 130));
    await turn();
    engine.step();
    await mine;
    expect(await edit(tempo(120, 140))).toMatchObject({ ok: false, clashes: [{ field: 'tempo', by: { who: 'Mia' } }] });
    expect(engine.loads).toHaveLength(1);
  });

  it('that leaves a mistake is stored and not played; the one that mends it plays both', async () => {
    const { show: before } = control;
    const start = (was: object[], now: object[]): AskedChange => ({
      do: 'set',
      kind: 'show',
      id: 'tiny',
      field: 'start',
      was,
      now,
    });
    const spoilt = await edit(start([{ look: 'dinner' }], [{ look: 'gone' }]), tempo(120, 130));
    expect(spoilt).toMatchObject({ ok: true, revision: first.revision + 1, faults: [{}] });
    expect(engine.loads).toEqual([]);
    expect([control.revision, control.show]).toEqual([first.revision, before]);
    const mended = edit(start([{ look: 'gone' }], [{ look: 'dance' }]));
    await turn();
    engine.step();
    expect(await mended).toMatchObject({ ok: true, revision: first.revision + 2, faults: [] });
    expect([control.revision, control.show.show.tempo]).toEqual([first.revision + 2, 130]);
  });

  it('after a restart goes on from the unfinished revision, though an older one plays', async () => {
    await edit({ do: 'set', kind: 'show', id: 'tiny', field: 'start', was: [{ look: 'dinner' }], now: [{ look: 'gone' }] });
    const draft = await inPlace.ask('openShow', 'tiny');
    if (draft === undefined) throw new Error('The draft is not in the store');
    control = controlOf({ draft: { show: draft, revision: first.revision + 1 } });
    control.start();
    const mended = edit({ do: 'set', kind: 'show', id: 'tiny', field: 'start', was: [{ look: 'gone' }], now: [{ look: 'dance' }] });
    await turn();
    expect([control.revision, control.show.show.start]).toEqual([first.revision, [{ look: 'dinner' }]]);
    engine.step();
    expect(await mended).toMatchObject({ ok: true, revision: first.revision + 2, faults: [] });
    expect(control.show.show.start).toEqual([{ look: 'dance' }]);
  });
});

describe('a start', () => {
  const fresh = () => controlOf({ revision: 0, show: compileShow({ ...showOf('dinner'), id: 'new' }) });

  it('has begun when what plays has its number in the store', async () => {
    control = fresh();
    control.start();
    expect(control.revision).toBe(0);
    await control.begun();
    expect(control.revision).toBe(first.revision + 1);
    expect(disk.rows.at(-1)).toMatchObject({ revision: first.revision + 1 });
  });

  it('has begun also on a disk that refuses, and within a second on one that does not answer', async () => {
    disk.refuses = true;
    control = fresh();
    control.start();
    await control.begun();
    expect(control).toMatchObject({ revision: 0, diskFails: true });
    disk.refuses = false;
    disk.hold('keepStart');
    control = fresh();
    control.start();
    const begun = control.begun();
    await vi.advanceTimersByTimeAsync(900);
    expect(await outcome(begun)).toBe('waits');
    await vi.advanceTimersByTimeAsync(100);
    expect(await outcome(begun)).toBeUndefined();
  });
});

describe('a store that was mended while it was in use', () => {
  const loseEverything = (): void => {
    db.pragma('foreign_keys = OFF');
    for (const table of ['journal', 'revision_type', 'revision', 'show']) db.prepare(`DELETE FROM ${table}`).run();
    db.pragma('foreign_keys = ON');
  };

  it('has what plays and what is edited again, and it is told', async () => {
    await turn();
    const set = { do: 'set', kind: 'show', id: 'tiny', field: 'start' } as const;
    await control.edit({ editId: 'editid-1', changes: [{ ...set, was: [{ look: 'dinner' }], now: [{ look: 'gone' }] }] }, mia);
    loseEverything();
    control.storeMended('The store was damaged.');
    expect(control.lost).toEqual([expect.objectContaining({ happened: 'The store was damaged.' })]);
    await turn();
    expect(control.diskFails).toBe(false);
    const shows = new ShowTable(db);
    expect(shows.read(control.revision).show.start).toEqual([{ look: 'dinner' }]);
    expect(shows.open('tiny')?.show.start).toEqual([{ look: 'gone' }]);
    expect(new JournalTable(db).last()?.revision).toBe(control.revision);
    const next = control.edit(
      { editId: 'editid-2', changes: [{ ...set, was: [{ look: 'gone' }], now: [{ look: 'dance' }] }] },
      mia,
    );
    await turn();
    engine.step();
    expect(await next).toMatchObject({ ok: true, faults: [] });
  });

  it('keeps the numbers of what is still in it', async () => {
    await turn();
    control.storeMended('The store was damaged.');
    await turn();
    expect(control.revision).toBe(first.revision);
    expect(new ShowTable(db).revisions()).toEqual([first.revision]);
  });
});

describe('what was lost at the start', () => {
  const lost: readonly Lost[] = [{ happened: 'It is gone.', guestsSee: 'Less.', todo: 'Look.' }];

  it('is told until somebody presses something', async () => {
    control = controlOf({ lost });
    control.start();
    expect(control.lost).toEqual(lost);
    engine.byItself({ do: 'let-go' });
    expect(control.lost).toEqual(lost);
    void control.do(press('dance'), 'Mia');
    expect(control.lost).toEqual([]);
  });

  it('is told until there is a show again, where all are lost', async () => {
    control = controlOf({ lost, revision: 0, show: pictureShow([], 'No show') });
    control.start();
    void control.do({ do: 'blackout', on: true }, 'Mia');
    engine.step();
    expect(control.lost).toEqual(lost);
    const imported = control.import(showOf('dinner'), 'Mia');
    await turn();
    engine.step();
    await imported;
    expect(control.lost).toEqual([]);
  });
});

describe('other settings', () => {
  it('go to the engine and are told, and nothing is written down for them', async () => {
    await turn();
    const before = disk.rows.length;
    control.settingsChanged();
    expect(engine.outputs).toHaveBeenCalledWith(standardSettings.outputs);
    expect(changes).toEqual(['settings']);
    await vi.advanceTimersByTimeAsync(1000);
    expect(disk.rows).toHaveLength(before);
  });
});
