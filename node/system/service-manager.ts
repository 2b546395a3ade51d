import { fstatSync, write } from 'node:fs';
import type { Millis } from '../core/units.ts';

/** The first descriptor that a service manager hands over: SD_LISTEN_FDS_START of sd_listen_fds(3). */
const FIRST_HANDED = 3;
/** The name that the unit gives to the way to its manager (`OpenFile=`). */
const NAME = 'notify';
/** Feeds within the time that the watchdog waits, so that one may come late. */
const FEEDS = 3;
/** Longer than this a status is cut: it is one line among many. */
const LONGEST_STATUS = 200;

type Environment = Readonly<Record<string, string | undefined>>;

/**
 * What systemd wants to hear of a service: sd_notify(3). Node.js has no datagram sockets of the Unix kind, so systemd opens its own socket
 * and hands it over (`OpenFile=/run/systemd/notify:notify`, systemd 253 or newer); a write is a datagram then. Without it, and without
 * NOTIFY_SOCKET, nothing is written.
 */
export class ServiceManager {
  readonly #descriptor: number | undefined;
  /** How often the watchdog is fed, if there is one. */
  readonly feedEvery: Millis | undefined;
  #isWriting = false;
  #waiting: string[] = [];
  #status = '';
  #timer: NodeJS.Timeout | undefined;

  constructor(environment: Environment = process.env, pid = process.pid) {
    this.#descriptor = handedOver(environment, pid);
    const { WATCHDOG_USEC, WATCHDOG_PID } = environment;
    const wait = Number(WATCHDOG_USEC) / 1000;
    const isOurs = WATCHDOG_PID === undefined || Number(WATCHDOG_PID) === pid;
    this.feedEvery = this.#descriptor !== undefined && wait > 0 && isOurs ? wait / FEEDS : undefined;
  }

  get listens(): boolean {
    return this.#descriptor !== undefined;
  }

  /** The lights are as they should be. From now on the watchdog is fed whenever `look` says that all is on time; it gives the status besides. */
  ready(look: () => { readonly onTime: boolean; readonly status: string }): void {
    this.#tell('READY=1', ...this.#statusLines(look().status));
    if (this.feedEvery === undefined) return;
    this.#timer = setInterval(() => {
      const { onTime, status } = look();
      this.#tell(...(onTime ? ['WATCHDOG=1'] : []), ...this.#statusLines(status));
    }, this.feedEvery).unref();
  }

  stopping(): void {
    clearInterval(this.#timer);
    this.#tell('STOPPING=1');
  }

  #statusLines(status: string): string[] {
    if (status === this.#status) return [];
    this.#status = status;
    return [`STATUS=${status.replaceAll('\n', ' ').slice(0, LONGEST_STATUS)}`];
  }

  /** One datagram on its way at a time, by a thread of the pool: a manager that takes none holds nobody up. */
  #tell(...lines: readonly string[]): void {
    if (this.#descriptor === undefined || lines.length === 0) return;
    this.#waiting = [...this.#waiting.filter((line) => line !== 'WATCHDOG=1'), ...lines];
    if (this.#isWriting) return;
    this.#isWriting = true;
    const text = `${this.#waiting.join('\n')}\n`;
    this.#waiting = [];
    // What is refused is not repeated: a manager that is gone asks for nothing.
    write(this.#descriptor, text, () => {
      this.#isWriting = false;
      if (this.#waiting.length > 0) this.#tell(...this.#waiting.splice(0));
    });
  }
}

/** The descriptor by the name of the way to the manager, if it was handed to this process. */
function handedOver({ NOTIFY_SOCKET, LISTEN_PID, LISTEN_FDNAMES }: Environment, pid: number): number | undefined {
  if (NOTIFY_SOCKET === undefined || Number(LISTEN_PID) !== pid) return undefined;
  const place = (LISTEN_FDNAMES ?? '').split(':').indexOf(NAME);
  if (place < 0) return undefined;
  try {
    fstatSync(FIRST_HANDED + place);
    return FIRST_HANDED + place;
  } catch {
    return undefined;
  }
}
