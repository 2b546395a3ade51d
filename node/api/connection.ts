import type { WebSocket } from 'ws';
import type { Command } from '../core/commands.ts';
import { InputError } from '../core/errors.ts';
import { BEAT_EVERY, BEATS_MISSED } from '../core/remote.ts';
import { keepsWatch, maySend } from '../core/roles.ts';
import type { Millis, Universe } from '../core/units.ts';
import type { Remote } from '../store/remotes.ts';
import { type FromRemote, fromRemote, type ToRemote } from './contract.ts';
import type { Control } from './control.ts';

/** A thumb on a master gives about twenty messages a second. */
const PER_SECOND = 50;
const BURST = 100;
const MOST_MISTAKES = 20;
/** Bytes that may wait for a slow phone before pictures are left out, and before it is cut off. */
const SLOW = 256 * 1024;
const HOPELESS = 4 * 1024 * 1024;

/** Codes of RFC 6455, section 7.4.1. */
const UNSUPPORTED_DATA = 1003;
const POLICY_VIOLATION = 1008;

export interface ConnectionHost {
  readonly control: Control;
  readonly now: () => Millis;
  /** Someone who keeps the watch was heard of. */
  readonly alive: () => void;
  readonly byHand: (connection: Connection, wish: ByHandWish) => void;
}

export type ByHandWish = Extract<FromRemote, { type: 'by-hand' }>;

/** One remote's socket: takes messages in, holds what must end when it ends. */
export class Connection {
  readonly remote: Remote;
  /** Binary frames of levels a second; 0 when the wire is not watched. */
  wireRate = 0;
  readonly #socket: WebSocket;
  readonly #host: ConnectionHost;
  /** Buttons pressed here that start a hit. */
  readonly #held = new Set<string>();
  readonly #levels = new Map<Universe, Uint8Array>();
  #heardAt: Millis;
  #budget = BURST;
  #budgetAt: Millis;
  #mistakes = 0;

  constructor(socket: WebSocket, remote: Remote, host: ConnectionHost) {
    this.#socket = socket;
    this.remote = remote;
    this.#host = host;
    this.#heardAt = host.now();
    this.#budgetAt = this.#heardAt;
  }

  send(message: ToRemote): void {
    this.sendText(JSON.stringify(message));
  }

  sendText(text: string): void {
    if (this.#socket.bufferedAmount > HOPELESS) this.#socket.terminate();
    else this.#socket.send(text);
  }

  /** What may be left out when the phone cannot keep up. */
  sendIfQuick(data: string | Uint8Array): void {
    if (this.#socket.bufferedAmount < SLOW) this.#socket.send(data);
  }

  /** A universe's levels, unless they are what this remote was sent last. `message` is a binary frame as `core/remote.ts` has it. */
  sendLevels(universe: Universe, message: Uint8Array): void {
    const last = this.#levels.get(universe);
    if (last !== undefined && Buffer.compare(last, message) === 0) return;
    this.#levels.set(universe, message);
    this.sendIfQuick(message);
  }

  end(reason: string): void {
    this.#socket.close(POLICY_VIOLATION, reason);
  }

  isSilent(now: Millis): boolean {
    return now - this.#heardAt > BEAT_EVERY * BEATS_MISSED;
  }

  /** Takes one message. Whatever comes, nobody but the sender notices. */
  take(data: Buffer, isBinary: boolean): void {
    const now = this.#host.now();
    if (!this.#afford(now)) {
      this.end('Too many messages');
      return;
    }
    if (isBinary) {
      this.#socket.close(UNSUPPORTED_DATA, 'Messages are JSON text');
      return;
    }
    const read = fromRemote.safeParse(parseJson(data));
    if (!read.success) {
      this.#mistake(data, read.error.issues[0]);
      return;
    }
    this.#heardAt = now;
    if (keepsWatch(this.remote.role)) this.#host.alive();
    this.#act(read.data, now);
  }

  /** Lets go of everything that was held here: the finger, the page or the network is gone. */
  letGo(): void {
    for (const button of this.#held) {
      // Another show may have come meanwhile, without that button: then there is nothing to let go.
      if (this.#host.control.has(button)) void this.#host.control.do({ do: 'release', button }, this.remote.name, 'nobody');
    }
    this.#held.clear();
    this.wireRate = 0;
    this.#host.byHand(this, { type: 'by-hand', id: 0 });
  }

  #act(message: FromRemote, now: Millis): void {
    switch (message.type) {
      case 'beat':
        this.send({ type: 'beat', id: message.id, at: now });
        break;
      case 'watch-wire':
        this.wireRate = this.remote.role === 'operator' ? message.rate : 0;
        this.#levels.clear();
        break;
      case 'by-hand':
        void this.#answer(message.id, () => {
          if (this.remote.role !== 'operator') throw new InputError('Only an operator may drive lights by hand');
          this.#host.byHand(this, message);
        });
        break;
      case 'command':
        void this.#answer(message.id, () => this.#command(message.command));
        break;
    }
  }

  async #command(asked: Command): Promise<void> {
    if (!maySend(this.remote.role, asked)) throw new InputError(`A ${this.remote.role} may not do this`);
    const { command } = await this.#host.control.do(asked, this.remote.name);
    if (command.do === 'press' && this.#host.control.startsHit(command.button)) this.#held.add(command.button);
    if (command.do === 'release') this.#held.delete(command.button);
  }

  async #answer(id: number, act: () => void | Promise<void>): Promise<void> {
    try {
      await act();
      this.send({ type: 'done', id });
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      this.send({ type: 'refused', id, error: error.message });
    }
  }

  #mistake(data: Buffer, issue: { path: PropertyKey[]; message: string } | undefined): void {
    const { id } = (parseJson(data) ?? {}) as { id?: unknown };
    const where = issue === undefined || issue.path.length === 0 ? '' : `${issue.path.join('.')}: `;
    this.send({
      type: 'refused',
      id: typeof id === 'number' ? id : -1,
      error: `This message is not understood: ${where}${issue?.message ?? ''}`,
    });
    if (++this.#mistakes > MOST_MISTAKES) this.end('Too many mistakes');
  }

  /** A bucket that fills by time and pays for messages. */
  #afford(now: Millis): boolean {
    this.#budget = Math.min(BURST, this.#budget + ((now - this.#budgetAt) * PER_SECOND) / 1000) - 1;
    this.#budgetAt = now;
    return this.#budget >= 0;
  }
}

function parseJson(data: Buffer): unknown {
  try {
    return JSON.parse(data.toString('utf8'));
  } catch {
    return undefined;
  }
}
