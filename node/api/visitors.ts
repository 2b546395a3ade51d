import type { IncomingMessage } from 'node:http';
import { isIP } from 'node:net';
import type { RequestHandler } from 'express';
import type { Clock } from '../core/ports.ts';
import { roles } from '../core/roles.ts';
import type { Millis } from '../core/units.ts';
import type { Remote } from '../store/remotes.ts';
import type { RemotesAtHand } from '../store/remotes-at-hand.ts';
import type { Holder } from './places.ts';

const COOKIE = 'duskhand';
/** A year: a phone that was paired in spring works in autumn. */
const COOKIE_SECONDS = 365 * 24 * 3600;
const WRITE_SEEN_EVERY: Millis = 60_000;

export const cookieFor = (token: string): string =>
  `${COOKIE}=${token}; HttpOnly; SameSite=Strict; Path=/; Max-Age=${COOKIE_SECONDS}`;

/** As whom a remote holds places: an operator goes last. */
export const holderOf = ({ id, role }: Remote): Holder => ({ key: `remote ${id}`, rank: -roles.indexOf(role) });

/** The paired remotes as they come in: who is asking, and when they were last here. */
export class Visitors {
  readonly #remotes: RemotesAtHand;
  readonly #clock: Clock;
  readonly #written = new Map<number, Millis>();

  constructor(remotes: RemotesAtHand, clock: Clock) {
    this.#remotes = remotes;
    this.#clock = clock;
  }

  /** The paired remote that a request comes from, by its cookie. */
  of(request: IncomingMessage): Remote | undefined {
    const token = new RegExp(`(?:^|; )${COOKIE}=([\\w-]{43})(?:;|$)`).exec(request.headers.cookie ?? '')?.[1];
    return token === undefined ? undefined : this.#remotes.byToken(token);
  }

  /** Notes that a remote is here. People read it by the minute, so it is written no more often. */
  seen({ id }: Remote): void {
    const now = this.#clock.now();
    if (now - (this.#written.get(id) ?? Number.NEGATIVE_INFINITY) < WRITE_SEEN_EVERY) return;
    this.#written.set(id, now);
    this.#remotes.seen(id, this.#clock.wall());
  }
}

/**
 * Whether the name that the browser used is one of ours: an address, this machine, or a `.local` name. A foreign name that resolves to
 * the node (DNS rebinding) is not.
 */
export function isOurHost(request: IncomingMessage): boolean {
  const host = /^(?:\[([^\]]+)\]|([^:]+))(?::\d+)?$/.exec(request.headers.host ?? '');
  const name = (host?.[1] ?? host?.[2] ?? '').toLowerCase();
  return isIP(name) !== 0 || name === 'localhost' || name.endsWith('.local');
}

/** Whether a request was made by a page of ours. Browsers name the origin with every request that changes something. */
export const isOurOrigin = (request: IncomingMessage): boolean =>
  request.headers.origin === undefined || request.headers.origin === `http://${request.headers.host}`;

/** Turns away what comes under a foreign name or from a foreign page. */
export const ourPagesOnly: RequestHandler = (request, response, next) => {
  if (isOurHost(request) && isOurOrigin(request)) next();
  else response.status(403).json({ error: 'This page or name is not one of the node’s own' });
};
