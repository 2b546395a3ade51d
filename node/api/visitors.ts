import type { IncomingMessage } from 'node:http';
import { isIP } from 'node:net';
import type { RequestHandler } from 'express';
import type { Remote, RemoteTable } from '../store/remotes.ts';

export const COOKIE = 'duskhand';
/** A year: a phone that was paired in spring works in autumn. */
const COOKIE_SECONDS = 365 * 24 * 3600;

export const cookieFor = (token: string): string =>
  `${COOKIE}=${token}; HttpOnly; SameSite=Strict; Path=/; Max-Age=${COOKIE_SECONDS}`;

/** The paired remote that a request comes from, by its cookie. */
export function remoteOf(request: IncomingMessage, remotes: RemoteTable): Remote | undefined {
  const token = new RegExp(`(?:^|; )${COOKIE}=([\\w-]{43})(?:;|$)`).exec(request.headers.cookie ?? '')?.[1];
  return token === undefined ? undefined : remotes.byToken(token);
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
