import type { Invitation, Me, Refusal, RemoteRow } from '../../node/api/contract.ts';
import type { Role } from '../../node/core/roles.ts';

const PATIENCE = 3000;

/** What the node refused, or that it could not be reached: `message` can be shown as it is. */
export class Refused extends Error {
  /** HTTP status; 0: not reached at all. */
  readonly status: number;
  constructor(message: string, status: number) {
    super(message);
    this.status = status;
  }
}

async function ask(path: string, method = 'GET', body?: unknown): Promise<unknown> {
  const options: RequestInit = { method, signal: AbortSignal.timeout(PATIENCE), cache: 'no-store', credentials: 'same-origin' };
  if (body !== undefined) Object.assign(options, { body: JSON.stringify(body), headers: { 'content-type': 'application/json' } });
  const response = await fetch(path, options).catch(() => {
    throw new Refused('The node does not answer. Is this phone on the network that the node is on?', 0);
  });
  if (response.status === 204) return undefined;
  const answer: unknown = await response.json().catch(() => undefined);
  // A venue's network that wants its terms agreed to answers every address with a page of its own.
  if (response.ok && answer === undefined)
    throw new Refused('Something else than the node answers at this address', response.status);
  if (response.ok) return answer;
  throw new Refused((answer as Refusal | undefined)?.error ?? `The node refused (${response.status})`, response.status);
}

/** A venue's network that wants its terms agreed to answers every address with a page of its own: that is not the node's word. */
export async function getMe(): Promise<Me> {
  const answer = await ask('/api/me');
  if (typeof answer === 'object' && answer !== null && 'remote' in answer) return answer as Me;
  throw new Refused('Something else than the node answers at this address', 200);
}
export const pair = (code: string, name: string): Promise<Me> => ask('/api/pair', 'POST', { code, name }) as Promise<Me>;
export const invite = (role: Role): Promise<Invitation> => ask('/api/invitations', 'POST', { role }) as Promise<Invitation>;
export const getRemotes = (): Promise<RemoteRow[]> => ask('/api/remotes') as Promise<RemoteRow[]>;
export const revoke = (id: number): Promise<unknown> => ask(`/api/remotes/${id}`, 'DELETE');
