import type { WebSocket } from 'ws';
import type { Command } from '../../core/commands.ts';
import { InputError, type Problem, problemLine } from '../../core/errors.ts';
import { depthProblem } from '../../core/json.ts';
import type { Log } from '../../core/ports.ts';
import { BEAT_EVERY, BEATS_MISSED } from '../../core/remote.ts';
import { keepsWatch, maySend, type Role } from '../../core/roles.ts';
import type { Millis, Universe } from '../../core/units.ts';
import type { Editor } from '../../store/edits.ts';
import type { Remote } from '../../store/remotes.ts';
import { Allowance } from '../allowance.ts';
import { type FromRemote, fromRemote, type ToRemote } from '../contract.ts';
import type { Control } from '../control.ts';
import type { EditAnswer } from '../edit-contract.ts';
import { LAID_OVER } from '../editing.ts';
import { carryOut, type Holds } from '../holds.ts';
import { refusalOf } from '../refusals.ts';
import type { ByHandWish } from './by-hand.ts';
import type { ToldPicture } from './light.ts';

/** A thumb on a master gives about twenty messages a second. */
const PER_SECOND = 50;
const BURST = 100;
const MOST_MISTAKES = 20;
/** Bytes that may wait for a slow phone before pictures are left out, and before it is cut off. */
const SLOW = 256 * 1024;
const HOPELESS = 4 * 1024 * 1024;
/** A phone that has been silent for so long is asked whether it is there at all, and has so long to answer. */
const PING_AFTER: Millis = 5000;
const PONG_WITHIN: Millis = 10_000;
/** A phone has so long to answer the end of its connection with its own. */
const END_WITHIN: Millis = 500;

/** Codes of RFC 6455, section 7.4.1. */
const UNSUPPORTED_DATA = 1003;
const POLICY_VIOLATION = 1008;

export interface ConnectionHost {
  readonly control: Pick<Control, 'resolve' | 'do' | 'edit' | 'sample' | 'isTried' | 'step' | 'restore' | 'has' | 'startsHit'>;
  /** Shared by all connections, and the command line. */
  readonly holds: Holds<object>;
  readonly now: () => Millis;
  /** Someone who keeps the watch was heard of. */
  readonly alive: (role: Role) => void;
  readonly byHand: (connection: Connection, wish: ByHandWish) => void;
  /** Whose page lays something over what plays: shared by all connections. */
  readonly trial: { by?: object | undefined };
  readonly log: Log;
}

/** What a connection does with its socket. */
export type RemoteSocket = Pick<WebSocket, 'send' | 'close' | 'terminate' | 'ping' | 'bufferedAmount'>;

/** What is sent again and again, of which a phone needs the newest only. */
type Stream = 'seen' | 'wire' | Universe;

/** One remote's socket: takes messages in, ends what was held when it ends, and leaves out what a slow phone cannot take. */
export class Connection {
  readonly remote: Remote;
  /** Binary frames of levels a second; 0 when the wire is not watched. */
  wireRate = 0;
  readonly #socket: RemoteSocket;
  readonly #host: ConnectionHost;
  /** What was handed to the socket last. */
  readonly #sent = new Map<Stream, string | Uint8Array>();
  /** Number of the picture that this phone was told last, and whose. */
  #shown: { readonly of: object; readonly number: number } | undefined;
  readonly #allowance: Allowance;
  #heardAt: Millis;
  #pingedAt: Millis | undefined;
  #pongAt: Millis;
  #endedAt: Millis | undefined;
  #mistakes = 0;

  constructor(socket: RemoteSocket, remote: Remote, host: ConnectionHost) {
    this.#socket = socket;
    this.remote = remote;
    this.#host = host;
    this.#heardAt = host.now();
    this.#pongAt = this.#heardAt;
    this.#allowance = new Allowance(BURST, PER_SECOND, this.#heardAt);
  }

  sendText(text: string): void {
    if (this.#endedAt !== undefined) return;
    if (this.#socket.bufferedAmount > HOPELESS) this.#socket.terminate();
    else this.#socket.send(text);
  }

  /**
   * The newest of a stream, to be offered again and again: it is sent where it is another than this phone was sent last, and when the
   * phone keeps up. What is the same must be the same object.
   */
  offer(stream: Stream, data: string | Uint8Array): void {
    if (this.#endedAt !== undefined || this.#sent.get(stream) === data || this.#socket.bufferedAmount >= SLOW) return;
    this.#sent.set(stream, data);
    this.#socket.send(data);
  }

  /** The picture as it is now: by what is new of it where this phone knows the one before, else whole. A slow phone misses some. */
  show(picture: ToldPicture, of: object): void {
    const { number, change, whole } = picture;
    const knows = this.#shown?.of === of ? this.#shown.number : undefined;
    if (this.#endedAt !== undefined || knows === number || this.#socket.bufferedAmount >= SLOW) return;
    this.#shown = { of, number };
    this.#socket.send(knows === number - 1 ? change : whole);
  }

  /** From here on it takes no message and holds nothing, whether or not the phone agrees. */
  end(reason: string, code = POLICY_VIOLATION): void {
    if (this.#endedAt !== undefined) return;
    this.letGo();
    this.#endedAt = this.#host.now();
    this.#socket.close(code, reason);
  }

  isSilent(now: Millis): boolean {
    return this.#endedAt !== undefined || now - this.#heardAt > BEAT_EVERY * BEATS_MISSED;
  }

  /** To be called several times a second: what is due because the phone says nothing. */
  turn(now: Millis): void {
    if (this.#endedAt !== undefined) {
      if (now - this.#endedAt >= END_WITHIN) this.#socket.terminate();
      return;
    }
    if (this.isSilent(now)) this.letGo();
    if (this.#pingedAt !== undefined) {
      if (now - this.#pingedAt >= PONG_WITHIN) this.#socket.terminate();
    } else if (now - Math.max(this.#heardAt, this.#pongAt) >= PING_AFTER) {
      this.#pingedAt = now;
      this.#socket.ping();
    }
  }

  /** The phone is there, though perhaps nobody at it. */
  pong(): void {
    this.#pongAt = this.#host.now();
    this.#pingedAt = undefined;
  }

  /** Takes one message. Whatever comes, nobody but the sender notices. */
  take(data: Buffer, isBinary: boolean): void {
    if (this.#endedAt !== undefined) return;
    const now = this.#host.now();
    if (!this.#allowance.take(now)) {
      this.end('Too many messages');
      return;
    }
    if (isBinary) {
      this.end('Messages are JSON text', UNSUPPORTED_DATA);
      return;
    }
    const json = parseJson(data);
    const deep = depthProblem(json);
    const read = deep === undefined ? fromRemote.safeParse(json) : undefined;
    if (read?.success !== true) {
      const issue = read?.error.issues[0];
      this.#mistake(json, deep ?? (issue && { path: issue.path.join('.'), message: issue.message }));
      return;
    }
    this.#heardAt = now;
    this.pong();
    if (keepsWatch(this.remote.role)) this.#host.alive(this.remote.role);
    this.#act(read.data, now);
  }

  /** Somebody else has taken what this page drove by hand. */
  loseHands(to: string): void {
    this.#send({ type: 'hands-lost', to });
  }

  /** Lets go of everything that was held here: the finger, the page or the network is gone. */
  letGo(): void {
    for (const button of this.#host.holds.liftAll(this)) void this.#release(button);
    this.wireRate = 0;
    this.#host.byHand(this, {});
    const { trial, control, log } = this.#host;
    if (trial.by !== this) return;
    trial.by = undefined;
    control.do({ do: 'try' }, this.remote.name, 'nobody').catch((error: unknown) => refusalOf(error, log));
  }

  #act(message: FromRemote, now: Millis): void {
    switch (message.type) {
      case 'beat':
        this.#send({ type: 'beat', id: message.id, at: now });
        break;
      case 'watch-wire':
        this.wireRate = this.remote.role === 'operator' ? message.rate : 0;
        this.#sent.clear();
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
      case 'edit':
        void this.#edit(message.id, (who) => this.#host.control.edit(message.edit, who));
        break;
      case 'sample':
        if (this.remote.role === 'operator') this.#host.control.sample(message.sample, this.remote, () => void this.#tryOver());
        break;
      case 'step':
        void this.#edit(message.id, (who) => this.#host.control.step(message.step, who));
        break;
      case 'restore':
        void this.#edit(message.id, (who) => this.#host.control.restore(message.restore, who));
        break;
    }
  }

  /** What is laid over all plays as long as this page is there, like anything else that is tried. */
  async #tryOver(): Promise<void> {
    const { trial, control, log } = this.#host;
    if (this.#endedAt !== undefined || (trial.by === this && control.isTried(LAID_OVER))) return;
    await this.#command({ do: 'try', item: LAID_OVER }).catch((error: unknown) => refusalOf(error, log));
  }

  async #command(asked: Command): Promise<void> {
    const { control, holds } = this.#host;
    if (!maySend(this.remote.role, asked)) throw new InputError(`A ${this.remote.role} may not do this`);
    const command = control.resolve(asked);
    if (command.do === 'try') this.#host.trial.by = command.item === undefined ? undefined : this;
    await carryOut(command, control, holds, { holder: this, name: this.remote.name });
  }

  async #edit(id: number, make: (who: Editor) => Promise<EditAnswer>): Promise<void> {
    try {
      if (this.remote.role !== 'operator') throw new InputError('Only an operator may change the show');
      this.#send({ type: 'edited', id, answer: await make(this.remote) });
    } catch (error) {
      const { error: text, problems = [] } = refusalOf(error, this.#host.log);
      this.#send({ type: 'refused', id, error: [text, ...problems.slice(0, 3).map(problemLine)].join('. ') });
    }
  }

  async #release(button: string): Promise<void> {
    const { control, log } = this.#host;
    try {
      // Another show may have come meanwhile, without that button: then there is nothing to let go.
      if (control.has(button)) await control.do({ do: 'release', button }, this.remote.name, 'nobody');
    } catch (error) {
      refusalOf(error, log);
    }
  }

  async #answer(id: number, act: () => void | Promise<void>): Promise<void> {
    try {
      await act();
      this.#send({ type: 'done', id });
    } catch (error) {
      this.#send({ type: 'refused', id, error: refusalOf(error, this.#host.log).error });
    }
  }

  #mistake(json: unknown, problem: Problem | undefined): void {
    const { id } = (json ?? {}) as { id?: unknown };
    const words = problem === undefined ? '' : problemLine(problem);
    this.#send({ type: 'refused', id: typeof id === 'number' ? id : -1, error: `This message is not understood: ${words}` });
    if (++this.#mistakes > MOST_MISTAKES) this.end('Too many mistakes');
  }

  #send(message: ToRemote): void {
    this.sendText(JSON.stringify(message));
  }
}

function parseJson(data: Buffer): unknown {
  try {
    return JSON.parse(data.toString('utf8'));
  } catch {
    return undefined;
  }
}
