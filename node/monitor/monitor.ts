import { Worker } from 'node:worker_threads';
import type { ForeignSource } from '../api/contract.ts';
import type { OutputSettings } from '../core/output-settings.ts';
import type { Log } from '../core/ports.ts';
import type { OutputReport } from '../core/report.ts';
import type { Millis, Universe } from '../core/units.ts';
import { componentId } from '../outputs/sacn/component-id.ts';
import { MOST_UNIVERSES } from './listening.ts';
import type { FromMonitor, SacnSource, Watch } from './messages.ts';
import { foreignSources, type OwnSending } from './rows.ts';
import { isLost } from './sources.ts';

/** Megabytes that the worker may fill: whoever finds a way to make it grow ends it, not the node. */
const HEAP = { maxOldGenerationSizeMb: 32, maxYoungGenerationSizeMb: 8 };
/** How long a worker that has died stays away. */
const BACK_AFTER: Millis = 5000;

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
  #sources: readonly SacnSource[] = [];

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
    const present = this.#sources.filter((source) => !isLost(source, now));
    return foreignSources(present, this.#parts.reports(), this.#own);
  }

  async stop(): Promise<void> {
    const worker = this.#worker;
    this.#worker = undefined;
    clearTimeout(this.#back);
    await worker?.terminate();
  }

  #post(): void {
    const { universes, outputs } = this.#own;
    const interfaces = [...new Set(outputs.map((one) => one.interface))];
    const own = outputs.map(({ id }) => componentId(this.#parts.cid, id));
    this.#worker?.postMessage({ universes, interfaces, own } satisfies Watch);
  }

  #take(message: FromMonitor): void {
    switch (message.kind) {
      case 'sources':
        this.#sources = message.sources;
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
    this.#sources = [];
    const line = `Listening for other senders has ended and begins again in ${BACK_AFTER / 1000} s; sending goes on. ${reason}`;
    this.#parts.log.once('listening has ended', line);
    this.#back = setTimeout(() => this.start(), BACK_AFTER);
  }
}

const messageOf = (error: unknown): string => (error instanceof Error ? (error.stack ?? error.message) : String(error));
