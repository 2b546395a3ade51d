import type { Frame } from '../core/frame.ts';
import { placeAt, type Stretch } from '../rig/channel-law.ts';
import { ask, holds, type Job, toChannelValue } from './job.ts';

/** A channel of a fixture and what may have it. */
export interface Choosing {
  readonly jobs: readonly Job[];
  /** What has it while nothing is asked: light, an emitter, where a head looks; otherwise undefined, and it stands at a value. */
  readonly base: Job | undefined;
  readonly standing: number;
  /** The only job that there is and that may ever have it: nothing has to be settled then. */
  readonly only: Job | undefined;
  /** Levels of its lamp's emitters. */
  readonly mixed: Float64Array;
}

const NONE = -1;

/**
 * Settles which job has each channel of a fixture, and with it the channel's value. Where jobs work only while another channel, their
 * master, stands in a range, what is asked of a follower drives its master there:
 * - what is asked of the master itself goes before what followers need of it; where a wheel has the place twice, it is the one that they need;
 * - of followers that need different ranges the one deepest in a chain of masters goes first, then the one in the lower slot;
 * - a master that keeps light in is not driven open, and nothing that a person must watch is begun;
 * - what does not get its master gives its channel up.
 * The same frame gives the same values, whatever came before.
 */
export class Deciding {
  /** By channel. */
  readonly values: Float64Array;
  readonly #channels: readonly Choosing[];
  /** Masters first; undefined where no channel has one. */
  readonly #order: Uint32Array | undefined;
  readonly #needFrom: Float64Array;
  readonly #needTo: Float64Array;

  constructor(channels: readonly Choosing[]) {
    this.#channels = channels;
    this.values = new Float64Array(channels.length);
    this.#needFrom = new Float64Array(channels.length);
    this.#needTo = new Float64Array(channels.length);
    this.#order = mastersFirst(channels);
  }

  decide(frame: Frame): void {
    const order = this.#order;
    if (order === undefined) {
      for (let i = 0; i < this.#channels.length; i++) {
        const channel = this.#channels[i] as Choosing;
        const job = channel.only ?? askedJob(channel.jobs, frame, always) ?? channel.base;
        this.#give(i, job, frame, channel);
      }
      return;
    }
    this.#needFrom.fill(NONE);
    for (let i = order.length - 1; i >= 0; i--) this.#wish(order[i] as number, frame);
    for (let i = 0; i < order.length; i++) this.#settle(order[i] as number, frame);
  }

  /** What a follower needs of its master, before anything is settled. */
  #wish(place: number, frame: Frame): void {
    const channel = this.#channels[place] as Choosing;
    const need = this.#needFrom[place] as number;
    const job =
      this.#preferred(channel, frame) ?? (need === NONE ? (emitterOf(channel) ?? this.#dimmerOf(channel)) : hostOf(channel, need));
    if (job?.when === undefined || job.when.channel < 0) return;
    const { channel: master, from, to } = job.when;
    const first = this.#needFrom[master] as number;
    const [low, high] = first === NONE ? [from, to] : [Math.max(first, from), Math.min(this.#needTo[master] as number, to)];
    if (low > high) return;
    this.#needFrom[master] = low;
    this.#needTo[master] = high;
  }

  #settle(place: number, frame: Frame): void {
    const channel = this.#channels[place] as Choosing;
    const { base } = channel;
    const asked = askedJob(channel.jobs, frame, this.#isPermitted);
    const has = asked ?? (base !== undefined && this.#isPermitted(base) ? base : undefined);
    this.#give(place, has, frame, channel);
    const value = this.values[place] as number;
    const [from, to] = [this.#needFrom[place] as number, this.#needTo[place] as number];
    if (from === NONE || (value >= from && value <= to)) return;
    const driven = asked === undefined ? middleOf(from, to) : sameWithin(asked.stretches, value, from, to);
    if (driven !== NONE && mayDrive(channel.jobs, driven, frame)) this.values[place] = driven;
  }

  /** The value that a job gives its channel; where none has it, it stands. */
  #give(place: number, job: Job | undefined, frame: Frame, { mixed, standing }: Choosing): void {
    const { values } = this;
    if (job === undefined) {
      values[place] = standing;
      return;
    }
    ask(job, frame, mixed, values, place);
    toChannelValue(job, values, place);
    values[place] = wholeOf(job, values[place] as number);
  }

  /** What is asked of a channel, best where its master need not move. */
  #preferred({ jobs }: Choosing, frame: Frame): Job | undefined {
    return askedJob(jobs, frame, this.#isReady) ?? askedJob(jobs, frame, always);
  }

  /** A dimmer at rest where no master lets it keep the lamp dark: a lamp that plays a program by itself would shine. */
  #dimmerOf({ base, jobs }: Choosing): Job | undefined {
    if (base === undefined || !base.isDimmer) return undefined;
    for (const job of jobs) if (job.isDimmer && this.#isReady(job)) return undefined;
    return base;
  }

  readonly #isReady = ({ when }: Job): boolean => {
    if (when === undefined) return true;
    const standing = this.#channels[when.channel]?.standing ?? NONE;
    return standing >= when.from && standing <= when.to;
  };

  readonly #isPermitted = ({ when }: Job): boolean => {
    if (when === undefined) return true;
    const value = this.values[when.channel] ?? NONE;
    return value >= when.from && value <= when.to;
  };
}

const always = (): boolean => true;
const middleOf = (from: number, to: number): number => Math.floor((from + to + 1) / 2);

/** Another value of the same place of a wheel, between these; NONE where there is none. */
function sameWithin(stretches: readonly Stretch[] | undefined, value: number, from: number, to: number): number {
  if (stretches === undefined) return NONE;
  const slot = placeAt(stretches, value);
  for (const one of stretches)
    if (one.slot === slot && one.from <= to && one.to >= from) return middleOf(Math.max(one.from, from), Math.min(one.to, to));
  return NONE;
}

/** Finer than a step of any channel, and coarser than what reckoning leaves over. */
const HAIR = 1e-6;

/** The nearest step; of a strobe the next slower one: no step may flash faster than was allowed. */
function wholeOf({ flashes, span }: Job, value: number): number {
  if (!flashes) return Math.round(value);
  return span < 0 ? Math.ceil(value - HAIR) : Math.floor(value + HAIR);
}

/** Whether the slowest that a strobe can flash is faster than that. */
const isTooFast = ({ flashes, lowest, span }: Job, value: number): boolean =>
  flashes && value < Math.min(lowest, lowest + span) - HAIR;

/**
 * What closes the light, if that is asked. Otherwise the last job whose attribute is away from rest, one whose range holds the value before
 * one that must cut it; a strobe only where the channel's own light is not closed, and never one that would flash faster than is asked. A
 * shutter that has no closed place does not answer by opening.
 */
function askedJob(jobs: readonly Job[], frame: Frame, may: (job: Job) => boolean): Job | undefined {
  for (const job of jobs)
    if (job.closes && job.rest > 0 && (frame[job.cell] as number) <= 0 && holds(job, 0) && may(job)) return job;
  let cutting: Job | undefined;
  for (let i = jobs.length - 1; i >= 0; i--) {
    const job = jobs[i] as Job;
    if (job.cell < 0) continue;
    const value = frame[job.cell] as number;
    if (job.closes && job.rest > 0 && value <= 0) continue;
    if (value === job.rest || (job.flashes && isClosed(jobs, frame)) || isTooFast(job, value) || !may(job)) continue;
    if (holds(job, value)) return job;
    cutting ??= job;
  }
  return cutting;
}

function isClosed(jobs: readonly Job[], frame: Frame): boolean {
  for (const { closes, cell } of jobs) if (closes && (frame[cell] as number) <= 0) return true;
  return false;
}

function mayDrive(jobs: readonly Job[], value: number, frame: Frame): boolean {
  if (isClosed(jobs, frame)) return false;
  for (const { needsPerson, first, last } of jobs) if (needsPerson && value >= first && value <= last) return false;
  return true;
}

const emitterOf = ({ base }: Choosing): Job | undefined => (base !== undefined && base.emitter >= 0 ? base : undefined);

/** The job in which a channel stands at a value. */
const hostOf = ({ jobs }: Choosing, value: number): Job | undefined => {
  for (const job of jobs) if (value >= job.first && value <= job.last) return job;
  return undefined;
};

/** Places of channels by how deep they hang on others, those of a depth by slot. What hangs on itself never gets its master. */
function mastersFirst(channels: readonly Choosing[]): Uint32Array | undefined {
  const mastersOf = channels.map(({ jobs }) =>
    jobs.flatMap(({ when }) => (when === undefined || when.channel < 0 ? [] : [when.channel])),
  );
  if (channels.every(({ jobs }) => jobs.every(({ when }) => when === undefined))) return undefined;
  const depths = new Map<number, number>();
  const depth = (place: number): number => {
    const known = depths.get(place);
    if (known !== undefined) return known;
    depths.set(place, 0);
    const own = Math.max(0, ...(mastersOf[place] as number[]).map((master) => depth(master) + 1));
    depths.set(place, own);
    return own;
  };
  return Uint32Array.from(channels.keys()).sort((a, b) => depth(a) - depth(b) || b - a);
}
