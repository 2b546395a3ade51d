import { Worker } from 'node:worker_threads';
import type { ForeignSource } from '../api/contract.ts';
import type { Listened } from '../core/heard.ts';
import type { OutputSettings } from '../core/output-settings.ts';
import type { Log } from '../core/ports.ts';
import type { OutputReport } from '../core/report.ts';
import type { Millis, Universe } from '../core/units.ts';
import { componentId } from '../outputs/sacn/component-id.ts';
import { MOST_UNIVERSES } from './listening.ts';
import type { FromMonitor, HeardOfLate, Watch } from './messages.ts';
import { artnetStreams, artnetUniverses, foreignSources, type OwnSending } from './rows.ts';
import { artnetSenders, sacnSenders, unsentStreams } from './senders.ts';
import { isLost } from './sources.ts';

/** Megabytes that the worker may fill: whoever finds a way to make it grow ends it, not the node. */
const HEAP = { maxOldGenerationSizeMb: 32, maxYoungGenerationSizeMb: 8 };
/** How long a worker that has died stays away. */
const BACK_AFTER: Millis = 5000;
/** Who has asked to listen for more than our outputs do is listening so long, and asks again meanwhile. */
export const LISTENS_FOR: Millis = 10_000;
const SILENCE: HeardOfLate = { sources: [], previews: [], streams: [] };

export interface MonitorParts {
  /** Identifier of this node, 16 bytes, which those of its outputs come from. */
  readonly cid: Uint8Array;
  /** The last reports of the outputs: Art-Net is heard where its answers arrive. */
  readonly reports: () => readonly OutputReport[];
  readonly log: Log;
  /** Starts the thread; it may throw. */
  readonly worker?: () => Worker;
}

const listeningThread = (): Worker => new Worker(new URL('./thread.js', import.meta.url), { resourceLimits: HEAP });

/** The main thread's hand on the incoming monitor: who else sends on our universes. */
export class Monitor {
  readonly #parts: Required<MonitorParts>;
  #worker: Worker | undefined;
  #back: NodeJS.Timeout | undefined;
  #own: OwnSending = { universes: [], outputs: [] };
  #heard = SILENCE;
  /** Universes that are listened to besides ours, on request. */
  #more: readonly Universe[] | undefined;
  #forgets: NodeJS.Timeout | undefined;

  constructor(parts: MonitorParts) {
    this.#parts = { worker: listeningThread, ...parts };
  }

  start(): void {
    let worker: Worker;
    try {
      worker = this.#parts.worker();
    } catch (error) {
      // The system gives no thread, or no descriptors for one.
      this.#lost(messageOf(error));
      return;
    }
    let reason = 'it ended by itself';
    worker.on('message', (message: FromMonitor) => this.#take(message));
    worker.on('error', (error) => {
      reason = messageOf(error);
    });
    worker.on('exit', () => {
      if (this.#worker === worker) this.#lost(reason);
    });
    this.#worker = worker;
    this.#post();
  }

  /** What this node sends from now on: listened to on the interfaces that it is sent by. */
  setUniverses(universes: readonly Universe[], outputs: readonly OutputSettings[]): void {
    this.#own = { universes, outputs };
    if (universes.length > MOST_UNIVERSES)
      this.#parts.log(`Other senders are looked for on the first ${MOST_UNIVERSES} of ${universes.length} universes only.`);
    this.#post();
  }

  sources(now: Millis): readonly ForeignSource[] {
    const ours = this.#present(now).filter(({ universe }) => this.#own.universes.includes(universe));
    return foreignSources(ours, this.#parts.reports(), this.#own);
  }

  /**
   * Listens for whatever others send on these universes too, for ten seconds from now, by Art-Net even where no output of ours does.
   * @returns who is heard now, with the levels
   */
  listen(universes: readonly Universe[], now: Millis): Listened {
    const isNews = this.#more === undefined || universes.join() !== this.#more.join();
    this.#more = universes;
    clearTimeout(this.#forgets);
    this.#forgets = setTimeout(() => {
      this.#more = undefined;
      this.#post();
    }, LISTENS_FOR).unref();
    if (isNews) this.#post();
    const { previews, streams } = this.#heard;
    const heard = this.#hearsArtnet ? artnetStreams(this.#parts.reports(), this.#own) : unsentStreams(streams, this.#listened);
    const artnet = this.#hearsArtnet ? artnetUniverses(this.#own) : this.#listened;
    return { senders: [...sacnSenders(this.#present(now)), ...artnetSenders(heard)], previews, artnet };
  }

  #present(now: Millis): HeardOfLate['sources'] {
    return this.#heard.sources.filter((source) => !isLost(source, now));
  }

  /** Whether an output of ours hears ArtDmx. */
  get #hearsArtnet(): boolean {
    return this.#own.outputs.some(({ protocol }) => protocol === 'artnet');
  }

  get #listened(): readonly Universe[] {
    return [...new Set([...this.#own.universes, ...(this.#more ?? [])])];
  }

  async stop(): Promise<void> {
    const worker = this.#worker;
    this.#worker = undefined;
    clearTimeout(this.#back);
    clearTimeout(this.#forgets);
    await worker?.terminate();
  }

  #post(): void {
    const { outputs } = this.#own;
    const isAsked = this.#more !== undefined;
    // Where nothing is sent there is no interface to hear by either, unless somebody asks: then by all of them.
    const interfaces = outputs.length === 0 && isAsked ? [undefined] : [...new Set(outputs.map((one) => one.interface))];
    const own = outputs.map(({ id }) => componentId(this.#parts.cid, id));
    const artnet = isAsked && !this.#hearsArtnet;
    this.#worker?.postMessage({ universes: this.#listened, interfaces, own, artnet } satisfies Watch);
  }

  #take(message: FromMonitor): void {
    switch (message.kind) {
      case 'heard':
        this.#heard = message;
        break;
      case 'trouble':
        this.#parts.log.once(
          `listening ${message.code}`,
          `Listening for other senders: the system reports ${message.code}. Some may not be seen; sending goes on.`,
        );
        break;
    }
  }

  #lost(reason: string): void {
    this.#worker = undefined;
    this.#heard = SILENCE;
    const line = `Listening for other senders has ended and begins again in ${BACK_AFTER / 1000} s; sending goes on. ${reason}`;
    this.#parts.log.once('listening has ended', line);
    this.#back = setTimeout(() => this.start(), BACK_AFTER);
  }
}

const messageOf = (error: unknown): string => (error instanceof Error ? (error.stack ?? error.message) : String(error));
