import type { HeldBackRow, Invitation, Me, Refusal, RemoteRow } from '../../node/api/contract.ts';
import type {
  BenchDraft,
  BenchHistory,
  BenchRevision,
  BenchSteps,
  HeardAnswer,
  TakenLook,
  TypeChoices,
  TypeTaken,
} from '../../node/api/edit-contract.ts';
import type { NewShow, NewShowRequest, Opening, ShelfList } from '../../node/api/shelf-contract.ts';
import type { Role } from '../../node/core/roles.ts';

const PATIENCE = 3000;
/** A file goes over the venue's network first, and is read then. */
const FILE_PATIENCE = 60_000;

/** Of many things that are wrong with one file more would not be read. */
const MOST_PROBLEMS = 3;

/** What the node refused, or that it could not be reached: `message` can be shown as it is. */
export class Refused extends Error {
  /** HTTP status; 0: not reached at all. */
  readonly status: number;
  /** Of a document: what is wrong, and where. */
  readonly problems: NonNullable<Refusal['problems']>;
  constructor(message: string, status: number, problems: Refusal['problems'] = []) {
    super(message);
    this.status = status;
    this.problems = problems;
  }

  /** With what is wrong, and where, in one text. */
  get whole(): string {
    const lines = this.problems.slice(0, MOST_PROBLEMS).map(({ path, message }) => (path === '' ? message : `${path}: ${message}`));
    return [this.message, ...lines].join('. ');
  }
}

/** Asks the node. @param isAnswer whether what came has the shape of its answer */
async function ask(path: string, isAnswer: (answer: unknown) => boolean, method = 'GET', body?: unknown): Promise<unknown> {
  const isFile = body instanceof Blob;
  const signal = AbortSignal.timeout(isFile ? FILE_PATIENCE : PATIENCE);
  const options: RequestInit = { method, signal, cache: 'no-store', credentials: 'same-origin' };
  if (isFile) Object.assign(options, { body, headers: { 'content-type': 'application/octet-stream' } });
  else if (body !== undefined)
    Object.assign(options, { body: JSON.stringify(body), headers: { 'content-type': 'application/json' } });
  const response = await fetch(path, options).catch(() => {
    throw new Refused('The node does not answer. Is this phone on the network that the node is on?', 0);
  });
  // Null: what is no JSON at all.
  const answer: unknown = response.status === 204 ? undefined : await response.json().catch(() => null);
  if (!response.ok) {
    const refusal = answer as Refusal | null;
    const error = response.status === 413 ? 'This is larger than the node takes in.' : refusal?.error;
    throw new Refused(error ?? `The node refused (${response.status})`, response.status, refusal?.problems);
  }
  // A venue's network that wants its terms agreed to answers every address with a page of its own: that is not the node's word.
  if (!isAnswer(answer)) throw new Refused('Something else than the node answers at this address', response.status);
  return answer;
}

const has =
  (field: string) =>
  (answer: unknown): boolean =>
    typeof answer === 'object' && answer !== null && field in answer;
const isObject = (answer: unknown): boolean => typeof answer === 'object' && answer !== null;
const isNothing = (answer: unknown): boolean => answer === undefined;

export const getMe = (): Promise<Me> => ask('/api/me', has('remote')) as Promise<Me>;
export const pair = (code: string, name: string): Promise<Me> =>
  ask('/api/pair', has('remote'), 'POST', { code, name }) as Promise<Me>;
export const invite = (role: Role): Promise<Invitation> =>
  ask('/api/invitations', has('code'), 'POST', { role }) as Promise<Invitation>;
export const getRemotes = (): Promise<RemoteRow[]> => ask('/api/remotes', Array.isArray) as Promise<RemoteRow[]>;
export const revoke = (id: number): Promise<unknown> => ask(`/api/remotes/${id}`, isNothing, 'DELETE');
export const getHeldBack = (): Promise<HeldBackRow[]> => ask('/api/held-back', Array.isArray) as Promise<HeldBackRow[]>;
export const getDraft = (): Promise<BenchDraft> => ask('/api/bench', has('show')) as Promise<BenchDraft>;
export const release = (): Promise<unknown> => ask('/api/bench/release', isNothing, 'POST');
export const getSteps = (): Promise<BenchSteps> => ask('/api/bench/steps', isObject) as Promise<BenchSteps>;
export const getHistory = (before?: number): Promise<BenchHistory> =>
  ask(`/api/bench/history${before === undefined ? '' : `?before=${before}`}`, Array.isArray) as Promise<BenchHistory>;
export const getRevision = (revision: string): Promise<BenchRevision> =>
  ask(`/api/bench/history/${encodeURIComponent(revision)}`, has('show')) as Promise<BenchRevision>;
export const getSeen = (): Promise<TakenLook> => ask('/api/bench/seen', has('parts')) as Promise<TakenLook>;
export const getHeard = (of: string | undefined): Promise<HeardAnswer> =>
  ask(`/api/bench/heard${of === undefined ? '' : `?of=${encodeURIComponent(of)}`}`, has('senders')) as Promise<HeardAnswer>;
export const getTypes = (): Promise<TypeChoices> => ask('/api/bench/types', Array.isArray) as Promise<TypeChoices>;
export const sendType = (file: File): Promise<TypeTaken> =>
  ask(`/api/bench/types?name=${encodeURIComponent(file.name)}`, has('left'), 'POST', file) as Promise<TypeTaken>;

const shelf = (id: string, what: string): string => `/api/bench/shows/${encodeURIComponent(id)}/${what}`;
export const getShelf = (): Promise<ShelfList> => ask('/api/bench/shows', has('shows')) as Promise<ShelfList>;
export const makeShow = (from: NewShowRequest): Promise<NewShow> =>
  ask('/api/bench/shows', has('id'), 'POST', from) as Promise<NewShow>;
export const bringFile = (file: Blob): Promise<NewShow> =>
  ask('/api/bench/shows/file', has('id'), 'POST', new Blob([file])) as Promise<NewShow>;
export const getOpening = (id: string): Promise<Opening> => ask(shelf(id, 'opening'), has('stops')) as Promise<Opening>;
export const openShow = (id: string): Promise<unknown> => ask(shelf(id, 'open'), isNothing, 'POST');
export const renameShow = (id: string, was: string, now: string): Promise<unknown> =>
  ask(shelf(id, 'name'), isNothing, 'POST', { was, now });
export const binShow = (id: string): Promise<unknown> => ask(shelf(id, 'bin'), isNothing, 'POST');
export const unbinShow = (id: string): Promise<unknown> => ask(shelf(id, 'back'), isNothing, 'POST');
export const fileOfShow = (id: string): string => shelf(id, 'file');
