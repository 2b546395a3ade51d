import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { NODE_FILE, type NodeFile, nodeFile, type Refusal } from '../api/contract.ts';
import { InputError } from '../core/errors.ts';

const ANSWER_WITHIN = 5000;

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
      if (error instanceof InputError) return false;
      throw error;
    }
  }

  get(path: string): Promise<unknown> {
    return this.#ask(path, { method: 'GET' });
  }

  post(path: string, body: unknown): Promise<unknown> {
    return this.#ask(path, { method: 'POST', body: JSON.stringify(body), headers: { 'content-type': 'application/json' } });
  }

  /** @throws InputError when no node runs, or with the node's own refusal. */
  async #ask(path: string, init: RequestInit): Promise<unknown> {
    const { url, token } = this.#find();
    const headers = { ...(init.headers as Record<string, string> | undefined), authorization: `Bearer ${token}` };
    let response: Response;
    try {
      response = await fetch(`${url}/api/local/${path}`, { ...init, headers, signal: AbortSignal.timeout(ANSWER_WITHIN) });
    } catch {
      throw this.#nobody();
    }
    const text = await response.text();
    const body: unknown = text === '' ? undefined : JSON.parse(text);
    if (response.ok) return body;
    const { error, problems } = body as Refusal;
    throw new InputError(error, problems);
  }

  #find(): NodeFile {
    try {
      return nodeFile.parse(JSON.parse(readFileSync(join(this.#folder, NODE_FILE), 'utf8')));
    } catch {
      throw this.#nobody();
    }
  }

  #nobody(): InputError {
    return new InputError(`No node is running with the data folder ${this.#folder}; start one with "duskhand run"`);
  }
}
