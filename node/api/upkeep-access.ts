import { randomBytes } from 'node:crypto';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { RequestHandler } from 'express';
import { isGiven } from './local-access.ts';

const FILE = 'upkeep.token';
const IS_TOKEN = /^[\w-]{32,}$/;

/** For programs that watch over the node: a token of their own, which outlives restarts and opens nothing but what they read. */
export class UpkeepAccess {
  readonly #token: string;

  /** Where the disk takes no file the token lasts for this run, and nobody knows it. */
  constructor(folder: string) {
    const path = join(folder, FILE);
    this.#token = read(path) ?? randomBytes(32).toString('base64url');
    try {
      if (read(path) === undefined) writeFileSync(path, `${this.#token}\n`, { mode: 0o600 });
    } catch {
      // The lights come first.
    }
  }

  readonly guard: RequestHandler = (request, response, next) => {
    if (isGiven(request, this.#token)) next();
    else response.status(401).json({ error: `This needs the token in ${FILE} of the node’s data folder` });
  };
}

function read(path: string): string | undefined {
  try {
    const text = readFileSync(path, 'utf8').trim();
    return IS_TOKEN.test(text) ? text : undefined;
  } catch {
    return undefined;
  }
}
