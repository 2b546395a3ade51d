import type { IncomingMessage, Server } from 'node:http';
import type { Duplex } from 'node:stream';
import { WebSocketServer } from 'ws';
import { SLOTS } from '../core/levels.ts';
import type { Clock } from '../core/ports.ts';
import { LEVELS_HEADER } from '../core/remote.ts';
import type { Millis } from '../core/units.ts';
import { Decoder } from '../dmx/decode.ts';
import type { Engine } from '../engine/engine.ts';
import type { Remote, RemoteTable } from '../store/remotes.ts';
import { Connection, type ConnectionHost } from './connection.ts';
import type { ForeignSource, State, ToRemote } from './contract.ts';
import type { Control } from './control.ts';
import { stateOf } from './state.ts';
import type { NodeFacts } from './status.ts';
import { summaryOf } from './summary.ts';
import { isOurHost, isOurOrigin, remoteOf } from './visitors.ts';

/** No honest message is longer. */
const LARGEST_MESSAGE = 16 * 1024;
const MOST_CONNECTIONS = 200;
/** States go out at most this often, pictures five times a second, levels as each watcher wants them. */
const STATE_EVERY: Millis = 50;
const TURN: Millis = 1000 / 30;
const PICTURE_TURNS = 6;
const SECOND_TURNS = 30;
const REPORT_TURNS = 15;

export interface SocketParts {
  readonly control: Control;
  readonly engine: Engine;
  readonly remotes: RemoteTable;
  readonly clock: Clock;
  readonly node: NodeFacts;
  /** Someone who keeps the watch was heard of. */
  readonly alive: () => void;
  readonly sources: () => readonly ForeignSource[];
}

/** Every remote's connection, and what all of them are told. */
export class Sockets {
  readonly #parts: SocketParts;
  readonly #server = new WebSocketServer({ noServer: true, maxPayload: LARGEST_MESSAGE, clientTracking: false });
  readonly #connections = new Set<Connection>();
  readonly #host: ConnectionHost;
  #picture = '';
  #decoder: { readonly of: unknown; readonly decoder: Decoder } | undefined;
  #turns = 0;
  #timer: NodeJS.Timeout | undefined;
  #stateTimer: NodeJS.Timeout | undefined;
  #stateAt: Millis = 0;
  #wasRestless = false;
  #toldPhase: State['watch']['phase'] = 'free';
  #byHandOwner: Connection | undefined;

  constructor(parts: SocketParts) {
    this.#parts = parts;
    this.#host = {
      control: parts.control,
      now: () => parts.clock.now(),
      alive: () => {
        parts.alive();
        // Whoever has come back need not read a warning any more.
        if (this.#toldPhase === 'warned') this.changed();
      },
      byHand: (connection, wish) => this.#byHand(connection, wish),
    };
  }

  start(): void {
    this.#timer = setInterval(() => this.#turn(), TURN);
  }

  /** Takes over the upgrades of a web server. */
  serve(server: Server): void {
    server.on('upgrade', (request, socket, head) => this.#upgrade(request, socket, head));
  }

  stop(): void {
    clearInterval(this.#timer);
    clearTimeout(this.#stateTimer);
    for (const connection of this.#connections) connection.end('The node is stopping');
  }

  isConnected(remote: number): boolean {
    const now = this.#parts.clock.now();
    return [...this.#connections].some((one) => one.remote.id === remote && !one.isSilent(now));
  }

  /** Ends what a revoked remote has open. */
  end(remote: number): void {
    for (const one of this.#connections) if (one.remote.id === remote) one.end('Revoked');
  }

  /** Something about what plays has changed: tell all, soon, and a burst of changes once. */
  changed(): void {
    if (this.#stateTimer !== undefined) return;
    const wait = Math.max(0, this.#stateAt + STATE_EVERY - this.#parts.clock.now());
    this.#stateTimer = setTimeout(() => this.#tellState(), wait);
  }

  /** Another show plays: everybody needs its buttons. */
  showChanged(): void {
    this.#decoder = undefined;
    for (const connection of this.#connections) connection.send(this.#hello(connection.remote));
    this.changed();
  }

  #upgrade(request: IncomingMessage, socket: Duplex, head: Buffer): void {
    const remote = remoteOf(request, this.#parts.remotes);
    const welcome = request.url === '/ws' && isOurHost(request) && request.headers.origin !== undefined && isOurOrigin(request);
    if (!welcome || remote === undefined || this.#connections.size >= MOST_CONNECTIONS) {
      socket.end(`HTTP/1.1 ${welcome ? '401 Unauthorized' : '403 Forbidden'}\r\nConnection: close\r\n\r\n`);
      return;
    }
    this.#server.handleUpgrade(request, socket, head, (webSocket) => {
      const connection = new Connection(webSocket, remote, this.#host);
      this.#connections.add(connection);
      this.#parts.remotes.seen(remote.id, this.#parts.clock.now());
      webSocket.on('message', (data, isBinary) => connection.take(data as Buffer, isBinary));
      // A message that is too long or no proper frame: the library closes the connection; nothing else is hurt.
      webSocket.on('error', () => undefined);
      webSocket.on('close', () => {
        this.#connections.delete(connection);
        connection.letGo();
      });
      connection.send(this.#hello(remote));
      connection.sendText(this.#stateText());
      if (this.#picture !== '') connection.sendText(this.#picture);
    });
  }

  #hello({ id, name, role }: Remote): ToRemote {
    const { control, node, clock } = this.#parts;
    return {
      type: 'hello',
      you: { id, name, role },
      node: { name: node.name, version: node.version },
      now: clock.now(),
      show: summaryOf(control.show),
    };
  }

  #turn(): void {
    if (this.#connections.size === 0) return;
    this.#turns++;
    const now = this.#parts.clock.now();
    for (const one of this.#connections) if (one.isSilent(now)) one.letGo();
    this.#sendLevels();
    if (this.#turns % PICTURE_TURNS === 0) this.#sendPicture();
    if (this.#turns % REPORT_TURNS === 0) this.#sendReports();
    if (this.#turns % SECOND_TURNS === 0) this.#mindRestless();
  }

  /** While something is on its way, or was a second ago, remotes are told every second. */
  #mindRestless(): void {
    const { watch, buttons, troubles } = this.#state();
    const restless =
      watch.phase === 'warned' || troubles.length > 0 || buttons.some(({ state }) => state === 'coming' || state === 'going');
    if (restless || this.#wasRestless || watch.phase !== this.#toldPhase) this.changed();
    this.#wasRestless = restless;
  }

  #state(): State {
    return stateOf(this.#parts.control, this.#parts.engine.report?.outputs ?? [], this.#parts.clock.now());
  }

  #stateText(): string {
    return JSON.stringify({ type: 'state', state: this.#state() } satisfies ToRemote);
  }

  #tellState(): void {
    this.#stateTimer = undefined;
    this.#stateAt = this.#parts.clock.now();
    const state = this.#state();
    this.#toldPhase = state.watch.phase;
    const text = JSON.stringify({ type: 'state', state } satisfies ToRemote);
    for (const connection of this.#connections) connection.sendText(text);
  }

  #sendPicture(): void {
    const { control, engine } = this.#parts;
    if (this.#decoder?.of !== engine.levels)
      this.#decoder = { of: engine.levels, decoder: new Decoder(control.show.rig, engine.levels) };
    const text = JSON.stringify({ type: 'picture', colours: this.#decoder.decoder.colours() } satisfies ToRemote);
    if (text === this.#picture) return;
    this.#picture = text;
    for (const connection of this.#connections) connection.sendIfQuick(text);
  }

  #sendLevels(): void {
    const watchers = [...this.#connections].filter(
      ({ wireRate }) => wireRate > 0 && this.#turns % Math.max(1, Math.round(30 / wireRate)) === 0,
    );
    if (watchers.length === 0) return;
    const { levels } = this.#parts.engine;
    for (const universe of levels.universes) {
      const message = new Uint8Array(LEVELS_HEADER + SLOTS);
      message[0] = universe >> 8;
      message[1] = universe & 0xff;
      levels.snapshot(universe, message.subarray(LEVELS_HEADER));
      for (const watcher of watchers) watcher.sendLevels(universe, message);
    }
  }

  #sendReports(): void {
    const { engine, node, sources } = this.#parts;
    const { report } = engine;
    const watchers = [...this.#connections].filter(({ wireRate }) => wireRate > 0);
    if (report === undefined || watchers.length === 0) return;
    const { outputs, frames, worstInterval } = report;
    const text = JSON.stringify({
      type: 'wire',
      outputs,
      frames,
      rate: node.rate,
      worstInterval,
      sources: sources(),
    } satisfies ToRemote);
    for (const watcher of watchers) watcher.sendIfQuick(text);
  }

  /** One pair of hands at a time: the newest has it. */
  #byHand(connection: Connection, { slots = [], identify }: Parameters<ConnectionHost['byHand']>[1]): void {
    const nothing = slots.length === 0 && identify === undefined;
    if (nothing && this.#byHandOwner !== connection) return;
    this.#byHandOwner = nothing ? undefined : connection;
    this.#parts.engine.byHand({ slots, ...(identify === undefined ? {} : { identify }) });
  }
}
