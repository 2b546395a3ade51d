import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { GuardKeeper } from '../../node/api/guard-keeper.ts';
import type { AttributeName } from '../../node/core/attributes.ts';
import { type Kept, RECOVERED } from '../../node/core/kept.ts';
import { duty } from '../../node/guards/duty.ts';
import { dwell } from '../../node/guards/dwell/dwell.ts';
import type { Guard } from '../../node/guards/guard.ts';
import { useLimits } from '../../node/guards/use-limits.ts';
import { compileShow } from '../../node/playback/compile.ts';
import { guardMemoryIn, keepGuardMemory, stillKept } from '../../node/store/guard-memory.ts';
import { FakeClock } from '../helpers/fake-clock.ts';
import { ordinary } from '../helpers/ordinary.ts';
import { head, place, tinyShow } from '../helpers/tiny-show.ts';
import { open } from '../store/new-folder.ts';

/** A restart must not forgive what guards have counted: the node is killed again and again, and tells of it what it had written down. */
const show = tinyShow({
  fixtures: [
    { ...place('blinder', 'blinder-pair', '2ch', 10), use: 'blinder' },
    { ...place('hazer', 'hazer', '1ch', 20), use: 'haze' },
    { ...place('fogger', 'fog-machine', '1ch', 30), use: 'haze' },
    { ...head('head', 40), pose: { x: 0, y: 0, z: 4, put: 'hung', facing: 0, forward: 40, aside: 0 } },
  ],
});
const { rig } = compileShow(show);
const cell = (id: string, name: AttributeName): number => rig.byId.get(id)?.lamps[0].cells.get(name) ?? -1;
const blinders = (): Guard => useLimits[1]?.(show, rig) as Guard;

interface Night {
  readonly build: () => Guard;
  readonly cell: number;
  readonly asks: (frame: number) => number;
  readonly frames: number;
  readonly apart: number;
  /** The node is killed behind every so many frames. */
  readonly kill: number;
  /** Reports are so many frames apart. */
  readonly report: number;
  readonly forgets?: boolean;
}

/** What a guard let through, frame by frame. */
async function letThrough({ build, cell: at, asks, frames, apart, kill, report, forgets = false }: Night): Promise<number[]> {
  const clock = new FakeClock();
  let disk: Kept | undefined;
  const store = {
    ask: (_: string, { kept }: { kept: Record<string, Kept> }) => {
      disk = kept.own;
      return Promise.resolve();
    },
  };
  let guard = build();
  let memory = guard.memory();
  let keeper = new GuardKeeper(store as never, clock);
  const through: number[] = [];
  for (let i = 0; i < frames; i++) {
    if (i > 0 && i % kill === 0) {
      guard = build();
      memory = guard.memory();
      if (!forgets) guard.recall?.(memory, disk ?? {});
      keeper = new GuardKeeper(store as never, clock, disk === undefined ? {} : { own: disk });
    }
    const frame = Float64Array.from(rig.rest);
    frame[at] = asks(i);
    guard.step(frame, { ...ordinary, now: clock.now() }, memory);
    through.push(frame[at] as number);
    if (i % report === 0) {
      keeper.take({ own: guard.kept?.(memory) ?? {} });
      for (let turn = 0; turn < 5; turn++) await undefined;
    }
    clock.advance(apart);
  }
  return through;
}

describe('a node that is killed again and again', () => {
  const glaring: Night = {
    build: blinders,
    cell: cell('blinder', 'Dimmer'),
    asks: () => 1,
    frames: 600,
    apart: 100,
    kill: 35,
    report: 5,
  };
  const above = (levels: readonly number[]): number => levels.filter((level) => level > 0.3 + 1e-9).length;

  it('lets a blinder dazzle no longer for it, as it would if it forgot', async () => {
    const most = 80;
    expect(above(await letThrough(glaring))).toBeLessThanOrEqual(most);
    expect(above(await letThrough({ ...glaring, forgets: true }))).toBeGreaterThan(3 * most);
  });

  it('lets a blinder dazzle no more in a minute than one burst after another, whatever is asked and whenever it is killed', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.array(fc.tuple(fc.constantFrom(0, 0.2, 1), fc.integer({ min: 1, max: 120 })), { minLength: 1, maxLength: 20 }),
        fc.integer({ min: 10, max: 300 }),
        async (asked, kill) => {
          const plan = asked.flatMap(([value, frames]) => new Array<number>(frames).fill(value));
          const through = await letThrough({ ...glaring, asks: (i) => plan[i % plan.length] ?? 0, kill });
          // As without a restart: a burst, the share of the rest that pauses are worth, and what fades.
          expect(100 * above(through)).toBeLessThanOrEqual(8000 + 60_000 / 3 + 4 * 3000);
        },
      ),
      { numRuns: 60 },
    );
  });

  it('puts no more haze into the air in ten minutes than half of them, nor fog than a minute of it', async () => {
    const airs = (id: string, name: AttributeName): Night => ({
      ...{ build: () => duty(show, rig) as Guard, cell: cell(id, name), asks: () => 1 },
      ...{ frames: 1200, apart: 500, kill: 60, report: 1 },
    });
    const seconds = async (night: Night): Promise<number> => (await letThrough(night)).reduce((sum, level) => sum + level / 2, 0);
    expect(await seconds(airs('hazer', 'Haze1'))).toBeLessThanOrEqual(301);
    expect(await seconds(airs('fogger', 'Fog1'))).toBeLessThanOrEqual(61);
    expect(await seconds({ ...airs('hazer', 'Haze1'), forgets: true })).toBeGreaterThan(400);
    expect(await seconds({ ...airs('fogger', 'Fog1'), forgets: true })).toBeGreaterThan(61);
  });

  it('keeps a beam dimmed that had rested, from the first frame on, and lets none rest anew for long', async () => {
    const rests: Night = {
      ...{ build: () => dwell(show, rig) as Guard, cell: cell('head', 'Dimmer'), asks: () => 1 },
      ...{ frames: 800, apart: 25, kill: 80, report: 20 },
    };
    const full = async (night: Night): Promise<number> => (await letThrough(night)).filter((level) => level === 1).length;
    // Six seconds at most.
    expect(await full(rests)).toBeLessThanOrEqual(240);
    expect(await full({ ...rests, forgets: true })).toBeGreaterThan(240);
    const through = await letThrough(rests);
    for (let i = 400; i < 800; i += 80) expect(through[i]).toBeCloseTo(0.1, 6);
  });
});

describe('what is kept of what guards have counted', () => {
  it('is nothing where half at most is used, since that is what is thought of everything after a start', () => {
    for (const guard of [blinders(), duty(show, rig) as Guard, dwell(show, rig) as Guard])
      expect(guard.kept?.(guard.memory())).toEqual({});
  });

  it('is given back for as long as anything may not have had its rest, and where the wall clock went back', () => {
    const db = open();
    expect(guardMemoryIn(db)).toBeUndefined();
    const kept = { duty: { '1/20.Haze1.0': 0.75 } };
    keepGuardMemory(db, { wall: 5_000_000, kept });
    const after = (wall: number) => stillKept(guardMemoryIn(db), wall);
    expect([0, 5_000_000, 5_000_000 + RECOVERED - 1].map(after)).toEqual([kept, kept, kept]);
    expect(after(5_000_000 + RECOVERED)).toBeUndefined();
    // Heads stand under the crew's hands however long ago it was.
    const motion = { '1/40.0.Pan': -120.5 };
    keepGuardMemory(db, { wall: 5_000_000, kept: { ...kept, motion } });
    expect([5_000_000 + RECOVERED].map(after)).toEqual([{ motion }]);
    db.prepare("UPDATE fact SET value = 'spoilt' WHERE name = 'guards'").run();
    expect(guardMemoryIn(db)).toBeUndefined();
  });

  it('is written when it has grown by a step, when it is all, and when it has gone half a minute later: not with every report', async () => {
    const clock = new FakeClock();
    const written: unknown[] = [];
    const store = { ask: (_: string, { kept }: { kept: unknown }) => Promise.resolve(void written.push(kept)) };
    const keeper = new GuardKeeper(store as never, clock);
    const take = async (used: number | undefined) => {
      keeper.take(used === undefined ? {} : { uv: { lamp: used } });
      clock.advance(500);
      await Promise.resolve();
      await new Promise((done) => setImmediate(done));
    };
    for (const used of [0.51, 0.55, 0.6, 0.64, 0.7, 0.99, 1]) await take(used);
    expect(written).toEqual([0.51, 0.64, 0.99, 1].map((lamp) => ({ uv: { lamp } })));
    for (let i = 0; i < 70; i++) await take(undefined);
    expect(written.slice(4)).toEqual([{}]);
  });

  it('is written again where it stays as it is, before it is taken for long ago; and where heads stand whenever that changes', async () => {
    const clock = new FakeClock();
    const written: unknown[] = [];
    const store = { ask: (_: string, { kept }: { kept: unknown }) => Promise.resolve(void written.push(kept)) };
    const keeper = new GuardKeeper(store as never, clock);
    const take = async (kept: Record<string, Kept>) => {
      keeper.take(kept);
      clock.advance(60_000);
      await new Promise((done) => setImmediate(done));
    };
    for (let minute = 0; minute < 20; minute++) await take({ dwell: { beam: 1 } });
    expect(written.length).toBe(4);
    clock.advance(-59_000);
    for (const angle of [3, 3, 2.5]) {
      await take({ motion: { pan: angle } });
      clock.advance(-59_000);
    }
    expect(written.slice(4)).toEqual([{ motion: { pan: 3 } }, { motion: { pan: 2.5 } }]);
  });
});
