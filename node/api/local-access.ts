import { createHash, randomBytes, timingSafeEqual } from 'node:crypto';
import { renameSync, rmSync, writeFileSync } from 'node:fs';
import type { IncomingMessage } from 'node:http';
import { join } from 'node:path';
import type { RequestHandler } from 'express';
import { NODE_FILE, type NodeFile } from './local-contract.ts';

/** Whoever can read the data folder is the node's own user and needs no pairing: the token lies there, for as long as the node runs. */
export class LocalAccess {
  readonly #path: string;
  readonly #token = randomBytes(32).toString('base64url');

  constructor(folder: string) {
    this.#path = join(folder, NODE_FILE);
  }

  /** Says in the data folder where the node listens. */
  announce(url: string): void {
    const file: NodeFile = { pid: process.pid, url, token: this.#token };
    // Whole or not at all, and never readable by others: whoever waits for it reads it at once.
    const coming = `${this.#path}.coming`;
    rmSync(coming, { force: true });
    writeFileSync(coming, `${JSON.stringify(file)}\n`, { mode: 0o600 });
    renameSync(coming, this.#path);
  }

  withdraw(): void {
    rmSync(this.#path, { force: true });
  }

  isOwner(request: IncomingMessage): boolean {
    return isGiven(request, this.#token);
  }

  readonly guard: RequestHandler = (request, response, next) => {
    if (this.isOwner(request)) next();
    else response.status(401).json({ error: 'This needs the access of the node’s own user' });
  };
}

/** Whether a request brings a token. Takes as long for a wrong one as for the right one. */
export function isGiven(request: IncomingMessage, token: string): boolean {
  const given = /^Bearer (.+)$/.exec(request.headers.authorization ?? '')?.[1];
  return given !== undefined && timingSafeEqual(digest(given), digest(token));
}

const digest = (text: string): Buffer => createHash('sha256').update(text).digest();
