import type { Server } from 'node:http';
import type { WebSocket } from 'ws';
import type { Log } from '../../core/ports.ts';
import type { Role } from '../../core/roles.ts';
import type { Engine } from '../../engine/engine.ts';
import type { Remote } from '../../store/remotes.ts';
import type { ToRemote } from '../contract.ts';
import type { Edited } from '../edit-contract.ts';
import type { Holds } from '../holds.ts';
import { Places } from '../places.ts';
import { holderOf, type Visitors } from '../visitors.ts';
import { Broadcast, type BroadcastParts } from './broadcast.ts';
import { ByHand } from './by-hand.ts';
import { Connection, type ConnectionHost } from './connection.ts';
import { takeUpgrades } from './upgrade.ts';

/** Sockets in all, and of one remote: a page or two, and those that the network has not yet given up. */
const MOST = 200;
const MOST_EACH = 4;

/** Codes of RFC 6455, section 7.4.1. */
const GOING_AWAY = 1001;

export interface SocketParts extends BroadcastParts {
  readonly control: BroadcastParts['control'] & ConnectionHost['control'];
  readonly engine: BroadcastParts['engine'] & Pick<Engine, 'byHand'>;
  readonly visitors: Visitors;
  readonly holds: Holds<object>;
  /** Someone who keeps the watch was heard of. */
  readonly alive: (role: Role) => void;
  readonly log: Log;
}

/** Every remote's connection. */
export class Sockets {
  readonly #parts: SocketParts;
  readonly #connections = new Set<Connection>();
  readonly #places = new Places<Connection>(MOST, MOST_EACH);
  readonly #broadcast: Broadcast;
  readonly #host: ConnectionHost;

  constructor(parts: SocketParts) {
    const { control, engine, clock, holds, log } = parts;
    this.#parts = parts;
    this.#broadcast = new Broadcast(parts, this.#connections);
    const byHand = new ByHand(engine, control);
    this.#host = {
      control,
      holds,
      now: () => clock.now(),
      alive: (role) => {
        parts.alive(role);
        this.#broadcast.alive();
      },
      byHand: (connection, wish) => byHand.take(connection, wish),
      trial: {},
      log,
    };
  }

  start(): void {
    this.#broadcast.start();
  }

  /** Takes over the upgrades of a web server. */
  serve(server: Server): void {
    takeUpgrades(server, this.#parts.visitors, (socket, remote) => this.#welcome(socket, remote));
  }

  stop(): void {
    this.#broadcast.stop();
    for (const connection of this.#connections) connection.end('The node is stopping', GOING_AWAY);
  }

  /** How many are heard of. */
  connected(): number {
    const now = this.#parts.clock.now();
    return [...this.#connections].filter((one) => !one.isSilent(now)).length;
  }

  isConnected(remote: number): boolean {
    const now = this.#parts.clock.now();
    return [...this.#connections].some((one) => one.remote.id === remote && !one.isSilent(now));
  }

  /** Ends what a revoked remote has open. */
  end(remote: number): void {
    for (const one of this.#connections) if (one.remote.id === remote) one.end('Revoked');
  }

  /** Something about what plays has changed. */
  changed(): void {
    this.#broadcast.changed();
  }

  /** Another show plays. */
  showChanged(): void {
    this.#broadcast.showChanged();
  }

  /** An edit was accepted: whoever may edit sees it. */
  edited(change: Edited): void {
    this.#tellOperators({ type: 'change', change });
  }

  /** There are other shows than before, they are called otherwise, or another one is edited. */
  shelfChanged(): void {
    this.#tellOperators({ type: 'shelf' });
  }

  #tellOperators(message: ToRemote): void {
    const text = JSON.stringify(message);
    for (const one of this.#connections) if (one.remote.role === 'operator') one.sendText(text);
  }

  #welcome(socket: WebSocket, remote: Remote): void {
    const connection = new Connection(socket, remote, this.#host);
    socket.on('message', (data, isBinary) => connection.take(data as Buffer, isBinary));
    socket.on('pong', () => connection.pong());
    // A message that is too long or no proper frame: the library closes the connection; nothing else is hurt.
    socket.on('error', () => undefined);
    socket.on('close', () => {
      this.#connections.delete(connection);
      this.#places.leave(connection);
      connection.letGo();
      this.#parts.visitors.seen(remote);
    });
    this.#connections.add(connection);
    this.#places.take(connection, holderOf(remote))?.end('Too many sockets are open');
    this.#parts.visitors.seen(remote);
    this.#broadcast.greet(connection);
  }
}
