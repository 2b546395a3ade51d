import type { AttributeName } from '../../core/attributes.ts';
import { MILLIS_PER_SECOND, type Millis } from '../../core/units.ts';
import { axesOf } from '../../rig/head.ts';
import type { Lamp, Rig, RigFixture } from '../../rig/rig.ts';
import { force, type Grouped, type Guard, type Instant } from '../guard.ts';
import { standsAt } from '../stands-at.ts';
import { approach, found, stop } from './approach.ts';

/** Degrees a second that a head turns at most while nobody looks on: a slow pan. A careful choice of ours, no source. */
const SLOWLY = 20;
/** Beside a speed or an acceleration: what rounding makes of it. */
const ROUNDING = 1e-9;

/** What turns, and how fast it may: degrees a second, and degrees a second more with each second; infinite where its type does not tell. */
interface Axis {
  /** By which it is known to the next show: where it is patched, and what it is of it. */
  readonly key: string;
  readonly place: number;
  readonly cell: number;
  readonly speed: number;
  readonly acceleration: number;
}

export interface MotionMemory {
  readonly keys: readonly string[];
  /** Of the last frame; not a number before the first. */
  at: Millis;
  /** Where each axis was sent in it, not a number: not known; how fast it turned; and where it was asked to be. */
  readonly angles: Float64Array;
  readonly speeds: Float64Array;
  readonly asked: Float64Array;
  /** Which were held. */
  readonly held: Uint8Array;
  /** Where axes stood by what was kept of the run before, if the crew worked then: they stand there still; not a number: not known. */
  readonly stood: Float64Array;
  /** The crew worked in the last frame. */
  crew: boolean;
}

/**
 * No head is sent faster than its type can turn, nor told to come to speed or to stand sooner: where it is asked to jump it goes there, and stops in
 * time. While what plays is left to the node heads turn slowly, and while the crew works they stand where they are. What its type can do passes
 * untouched.
 */
export function motion(_show: Grouped, { fixtures }: Rig): Guard<MotionMemory> {
  const axes = fixtures.flatMap((fixture, place) => fixture.lamps.flatMap((lamp) => axesIn(fixture, lamp, place)));

  /** Where an axis goes in this frame, and how fast it turns then, into {@link found}. */
  function turn(
    i: number,
    wanted: number,
    seconds: number,
    { left, crew }: Instant,
    { angles, speeds, asked }: MotionMemory,
  ): number {
    const { speed: fastest, acceleration } = axes[i] as Axis;
    const most = left ? Math.min(SLOWLY, fastest) : fastest;
    const [before, speed] = [angles[i] as number, speeds[i] as number];
    if (crew) {
      stop(speed, acceleration, seconds);
      return before + found.moved;
    }
    const isLimited = Number.isFinite(most) || Number.isFinite(acceleration);
    if (!isLimited || seconds === 0) {
      found.speed = isLimited ? speed : 0;
      return isLimited ? before : wanted;
    }
    const needed = (wanted - before) / seconds;
    const goes = (wanted - (asked[i] as number)) / seconds;
    if (canTurn(needed, speed, goes, most, acceleration * seconds)) {
      found.speed = needed;
      return wanted;
    }
    if (!Number.isFinite(acceleration)) {
      found.speed = Math.sign(wanted - before) * most;
      return before + found.speed * seconds;
    }
    // What it is asked for goes on, so it has to be caught up with; or it has jumped, and stands.
    const follows = Math.abs(goes) <= most ? goes : 0;
    const from = follows === 0 ? wanted : (asked[i] as number);
    approach(from - before, speed - follows, -most - follows, most - follows, acceleration, seconds);
    found.speed += follows;
    return before + found.moved + follows * seconds;
  }

  return {
    name: 'motion',
    memory(before) {
      const unknown = () => new Float64Array(axes.length).fill(Number.NaN);
      const memory: MotionMemory = {
        keys: axes.map(({ key }) => key),
        at: before?.at ?? Number.NaN,
        angles: unknown(),
        speeds: new Float64Array(axes.length),
        asked: unknown(),
        held: new Uint8Array(axes.length),
        stood: unknown(),
        crew: before?.crew ?? false,
      };
      for (const [i, { key }] of axes.entries()) {
        const at = before?.keys.indexOf(key) ?? -1;
        if (before === undefined || at < 0) continue;
        for (const of of ['angles', 'speeds', 'asked', 'stood'] as const) memory[of][i] = before[of][at] as number;
      }
      return memory;
    },
    step(frame, instant, memory): boolean {
      const seconds = Math.max(0, instant.now - memory.at) / MILLIS_PER_SECOND;
      memory.at = instant.now;
      memory.crew = instant.crew;
      let acted = false;
      for (let i = 0; i < axes.length; i++) {
        const { cell } = axes[i] as Axis;
        const wanted = frame[cell] as number;
        found.speed = 0;
        const angle = Number.isNaN(memory.angles[i])
          ? standsAtFirst(memory.stood[i] as number, wanted, instant.crew)
          : turn(i, wanted, seconds, instant, memory);
        memory.stood[i] = Number.NaN;
        memory.angles[i] = angle;
        memory.speeds[i] = found.speed;
        memory.asked[i] = wanted;
        memory.held[i] = force(frame, cell, angle) ? 1 : 0;
        if (memory.held[i] === 1) acted = true;
      }
      return acted;
    },
    kept({ keys, angles, speeds, crew }) {
      if (!crew) return {};
      // One that still comes to stand is written down when it does.
      return Object.fromEntries(keys.flatMap((key, i) => (speeds[i] === 0 ? [[key, angles[i] as number]] : [])));
    },
    recall({ keys, stood }, kept) {
      for (const [i, key] of keys.entries()) stood[i] = kept[key] ?? Number.NaN;
    },
    *held({ held }) {
      for (let i = 0; i < axes.length; i++) if (held[i] === 1) yield (axes[i] as Axis).place;
    },
  };
}

/** Of a head of which nothing is known it is thought that it stands where it is asked to be; while the crew works where it was left. */
const standsAtFirst = (stood: number, wanted: number, crew: boolean): number => (crew && !Number.isNaN(stood) ? stood : wanted);

/**
 * Whether an axis can be where it is asked to be at the end of a frame: at its speed, changed by no more than it can, and in step with what it is asked
 * for, so that it has not to stop all at once there.
 */
function canTurn(needed: number, speed: number, goes: number, most: number, change: number): boolean {
  const within = (value: number, limit: number): boolean => Math.abs(value) <= limit * (1 + ROUNDING) + ROUNDING;
  return within(needed, most) && (!Number.isFinite(change) || (within(needed - speed, change) && within(needed - goes, change)));
}

function axesIn(fixture: RigFixture, lamp: Lamp, place: number): Axis[] {
  const both = axesOf(fixture, lamp);
  return (['Pan', 'Tilt'] as const satisfies AttributeName[]).flatMap((name) => {
    const cell = lamp.cells.get(name);
    if (cell === undefined) return [];
    const { speed = Number.POSITIVE_INFINITY, acceleration = Number.POSITIVE_INFINITY } =
      [both?.pan, both?.tilt].find((axis) => axis?.cell === cell) ?? {};
    const key = `${standsAt(fixture)}.${lamp.part}.${name}`;
    return [{ key, place, cell, speed, acceleration }];
  });
}
