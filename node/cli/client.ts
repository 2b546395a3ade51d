import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { z } from 'zod';
import { NODE_FILE, type NodeFile, nodeFile } from '../api/local-contract.ts';
import { InputError } from '../core/errors.ts';

const ANSWER_WITHIN = 5000;
/** A small machine takes its time over a large file. */
export const READ_WITHIN = 60_000;
const UNAUTHORIZED = 401;

const refusal = z.object({
  error: z.string(),
  problems: z.array(z.object({ path: z.string(), message: z.string() })).optional(),
});

class NobodyThere extends InputError {}

/** Talks to the node that runs with a data folder, as its own user. */
export class NodeClient {
  readonly #folder: string;

  constructor(folder: string) {
    this.#folder = folder;
  }

  /** Whether a node answers here. */
  async isRunning(): Promise<boolean> {
    try {
      await this.get('play/status');
      return true;
    } catch (error) {
      if (error instanceof NobodyThere) return false;
      throw error;
    }
  }

  get(path: string): Promise<unknown> {
    return this.#ask(path, { method: 'GET' });
  }

  post(path: string, body: unknown, within = ANSWER_WITHIN): Promise<unknown> {
    return this.#ask(path, { method: 'POST', body: JSON.stringify(body), headers: { 'content-type': 'application/json' } }, within);
  }

  put(path: string, body: unknown): Promise<unknown> {
    return this.#ask(path, { method: 'PUT', body: JSON.stringify(body), headers: { 'content-type': 'application/json' } });
  }

  /** Posts a file as it is. */
  send(path: string, bytes: Buffer): Promise<unknown> {
    return this.#ask(
      path,
      { method: 'POST', body: bytes as Buffer<ArrayBuffer>, headers: { 'content-type': 'application/octet-stream' } },
      READ_WITHIN,
    );
  }

  delete(path: string): Promise<unknown> {
    return this.#ask(path, { method: 'DELETE' });
  }

  /**
   * @throws InputError when no node runs or it does not answer, or with the node's own refusal. After a node that died somebody else
   * may have its port: what is not an answer of ours means that no node runs.
   */
  async #ask(path: string, init: RequestInit, within = ANSWER_WITHIN): Promise<unknown> {
    const { url, token } = this.#find();
    const headers = { ...(init.headers as Record<string, string> | undefined), authorization: `Bearer ${token}` };
    let response: Response;
    let body: unknown;
    try {
      response = await fetch(`${url}/api/local/${path}`, { ...init, headers, signal: AbortSignal.timeout(within) });
      const text = await response.text();
      body = text === '' ? undefined : JSON.parse(text);
    } catch (error) {
      throw isTimeout(error) ? this.#silent(within) : this.#nobody();
    }
    if (response.ok) return body;
    const refused = refusal.safeParse(body);
    if (!refused.success || response.status === UNAUTHORIZED) throw this.#nobody();
    throw new InputError(refused.data.error, refused.data.problems);
  }

  #find(): NodeFile {
    try {
      return nodeFile.parse(JSON.parse(readFileSync(join(this.#folder, NODE_FILE), 'utf8')));
    } catch (error) {
      if ((error as { code?: unknown }).code === 'EACCES')
        throw new InputError(`The data folder ${this.#folder} is not for this user; run this as the user that the node runs as`);
      throw this.#nobody();
    }
  }

  #nobody(): InputError {
    return new NobodyThere(`No node is running with the data folder ${this.#folder}; start one with "duskhand run"`);
  }

  #silent(within: number): InputError {
    return new InputError(`The node with the data folder ${this.#folder} has not answered within ${within / 1000} s`);
  }
}

const isTimeout = (error: unknown): boolean => error instanceof Error && error.name === 'TimeoutError';
