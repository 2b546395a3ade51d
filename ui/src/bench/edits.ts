import { effect, signal } from '@preact/signals';
import type { EditAnswer } from '../../../node/api/edit-contract.ts';
import type { AskedChange } from '../../../node/show/change.ts';
import { newId as idFor } from '../../../node/show/new-id.ts';
import { type ListKind, listOf, topOf } from '../../../node/show/things.ts';
import { connection } from '../connection.ts';
import { isOpen } from '../state.ts';
import { draft } from './draft.ts';
import { where } from './where/where.ts';

/** What is typed is sent at most so often, a pull is stored at most so often; the last of them always is. Milliseconds. */
const EVERY = 200;
const PULLS_EVERY = 1000;
/** In between a pull goes to the lights at most so often. */
const SAMPLES_EVERY = 50;

/** What names a pull, a thing that follows a finger: all of it is one step. */
export const pullGesture = (): string => `${PULL}${Date.now().toString(36)}-${Math.random().toString(36).slice(2, 8)}`;
const PULL = 'pull-';
const isPull = ({ gesture }: Pick<Wish, 'gesture'>): boolean => gesture?.startsWith(PULL) === true;

/** One field of one thing. */
export interface Field {
  readonly kind: ListKind | 'show';
  readonly id: string;
  readonly field: string;
}

interface Wish extends Field {
  /** The show that it was wanted of. */
  readonly show: string | undefined;
  /** What stood there when it was first wanted: what somebody else has put there since is not to be written over unseen. */
  readonly was: unknown;
  readonly now: unknown;
  readonly gesture?: string;
}

/** What somebody else has put where this page wanted something else. */
export interface Conflict extends Wish {
  readonly found: unknown;
  readonly who: string | undefined;
}

/** What is wanted of fields and not answered yet, by key: it is shown at once, and stays there while the line is away. */
export const waiting = signal<ReadonlyMap<string, Wish>>(new Map());
export const conflict = signal<Conflict | undefined>(undefined);
/** What was to be taken back, or brought back, and another has changed since: nothing was done, and it is theirs to say who asked. */
export const crossed = signal<{ readonly who: string; readonly way: 'undo' | 'redo' } | undefined>(undefined);
/** One sentence about the last thing that did not go as asked. */
export const refusal = signal<string | undefined>(undefined);

const keyOf = ({ kind, id, field }: Field): string => `${kind} ${id} ${field}`;

/** What waits for a field, if something does. */
export const waitsFor = (field: Field): { readonly now: unknown } | undefined => waiting.value.get(keyOf(field));

/** The value of a field as the node has it. */
export function standing({ kind, id, field }: Field): unknown {
  const show = draft.peek()?.show;
  if (show === undefined) return undefined;
  const thing = kind === 'show' ? topOf(show) : listOf(show, kind).find((one) => one.id === id);
  return (thing as Readonly<Record<string, unknown>> | undefined)?.[field];
}

let sending: Wish | undefined;
let sentAt = Number.NEGATIVE_INFINITY;
let later: number | undefined;

/** Wants a field to be something. What is wanted of it next, before that was sent, takes its place. */
export function want(wish: Omit<Wish, 'was' | 'show'>): void {
  const show = openShow();
  const waits = waiting.peek().get(keyOf(wish));
  const before = waits?.show === show ? waits : undefined;
  const was = before === undefined ? standing(wish) : before === sending ? before.now : before.was;
  put({ ...wish, was, show });
  sendSoon();
  if (isPull(wish)) sampleSoon(keyOf(wish));
}

let sampledAt = Number.NEGATIVE_INFINITY;
let sampleLater: number | undefined;

/** Lets the lights follow a pull, where they follow at all. */
function sampleSoon(key: string): void {
  if (sampleLater !== undefined || where.peek() === 'here' || !isOpen.peek()) return;
  sampleLater = window.setTimeout(
    () => {
      sampleLater = undefined;
      sampledAt = performance.now();
      const wish = waiting.peek().get(key);
      if (wish === undefined || wish === sending) return;
      connection.sample({ changes: [changeOf(wish)], ...(wish.show === undefined ? {} : { show: wish.show }) });
    },
    Math.max(0, sampledAt + SAMPLES_EVERY - performance.now()),
  );
}

const changeOf = ({ kind, id, field, was, now }: Wish): AskedChange =>
  ({
    ...{ do: 'set', kind, id, field },
    ...(was === undefined ? {} : { was }),
    ...(now === undefined ? {} : { now }),
  }) as AskedChange;

function put(wish: Wish): void {
  waiting.value = new Map(waiting.peek()).set(keyOf(wish), wish);
}

function sendSoon(): void {
  if (sending !== undefined || later !== undefined || waiting.peek().size === 0 || !isOpen.peek()) return;
  const [next] = waiting.peek().values();
  const every = next !== undefined && isPull(next) && where.peek() === 'lights' ? PULLS_EVERY : EVERY;
  later = window.setTimeout(() => void send(), Math.max(0, sentAt + every - performance.now()));
}
effect(() => {
  if (isOpen.value) sendSoon();
});

/** A pull has ended: its last is stored without waiting for its second. */
function hurry(): void {
  if (later === undefined) return;
  clearTimeout(later);
  later = window.setTimeout(() => void send(), Math.max(0, sentAt + EVERY - performance.now()));
}
for (const end of ['pointerup', 'pointercancel', 'keyup', 'change']) addEventListener(end, hurry, { passive: true });
/** Whoever leaves the page has ended everything. */
addEventListener('pagehide', () => {
  if (later === undefined) return;
  clearTimeout(later);
  void send();
});

async function send(): Promise<void> {
  later = undefined;
  const [wish] = waiting.peek().values();
  if (wish === undefined) return;
  sending = wish;
  sentAt = performance.now();
  const { gesture, show } = wish;
  try {
    const answer = await make([changeOf(wish)], gesture, show);
    forget(wish);
    if (!answer.ok) {
      const [clash] = answer.clashes;
      conflict.value = { ...wish, found: clash?.found, who: clash?.by?.who };
    }
  } catch (error) {
    const newer = waiting.peek().get(keyOf(wish));
    if (isOpen.peek()) {
      forget(wish);
      refusal.value = error instanceof Error ? error.message : String(error);
    } else if (newer !== undefined && newer !== wish) {
      // The line broke: it is sent again when it is back. Whether this one came through is not known.
      put({ ...newer, was: wish.was });
    }
  } finally {
    sending = undefined;
    sendSoon();
  }
}

function forget(wish: Wish): void {
  const left = new Map(waiting.peek());
  // Something newer is wanted already.
  if (left.get(keyOf(wish)) !== wish) return;
  left.delete(keyOf(wish));
  waiting.value = left;
}

/** Every change says of which show it is: another one may be opened while it is on its way. */
const openShow = (): string | undefined => draft.peek()?.show.id;
const meant = (show = openShow()): { readonly show?: string; readonly here?: boolean } => ({
  ...(show === undefined ? {} : { show }),
  ...(where.peek() === 'here' ? { here: true } : {}),
});

const make = (changes: AskedChange[], gesture?: string, show?: string): Promise<EditAnswer> => {
  hush();
  return connection.change({
    type: 'edit',
    edit: { editId: newId(), changes, ...meant(show), ...(gesture === undefined ? {} : { gesture }) },
  });
};

/** Changes that are no pull: a thing that is added or taken out. What goes wrong is said. @returns whether it was done */
export async function change(...changes: AskedChange[]): Promise<boolean> {
  return settle(make(changes));
}

/** Resolves when nothing is on its way to the node any more, or when that takes too long. */
export async function sent(): Promise<void> {
  for (let tries = 0; tries < 40 && waiting.peek().size > 0 && isOpen.peek(); tries++)
    await new Promise((resolve) => setTimeout(resolve, 50));
}

/** How often something was taken back or brought back here: what was said of it before is not so any more. */
export const stepped = signal(0);

/** @param over whose is to stand where another has changed the same since; without it nothing is done there, and it is asked */
export async function takeBack(way: 'undo' | 'redo', over?: 'mine' | 'theirs'): Promise<void> {
  stepped.value++;
  hush();
  const step = { editId: newId(), way, anyway: over === 'mine', leave: over === 'theirs', ...meant() };
  await settle(connection.change({ type: 'step', step }), (who) => {
    crossed.value = { who, way };
  });
}

export const restore = (revision: number): Promise<boolean> =>
  settle(connection.change({ type: 'restore', restore: { editId: newId(), revision, ...meant() } }));

async function settle(asked: Promise<EditAnswer>, onClash = leaveIt): Promise<boolean> {
  try {
    const answer = await asked;
    if (answer.ok) return true;
    onClash(answer.clashes.find(({ by }) => by !== undefined)?.by?.who ?? 'Somebody');
  } catch (error) {
    refusal.value = error instanceof Error ? error.message : String(error);
  }
  return false;
}

function leaveIt(who: string): void {
  refusal.value = `${who} has changed that since: it was left as it is.`;
}

/** What was said of the last thing that did not go as asked is not so any more. */
export function hush(): void {
  refusal.value = undefined;
  crossed.value = undefined;
}

/** For an edit, so that it is made once though it is sent twice; and for a new thing. */
const newId = (): string => crypto.getRandomValues(new Uint32Array(4)).join('-');

/** An id for a new thing, after its name: none that is there already. */
export const idAfter = (name: string, taken: readonly { readonly id: string }[]): string =>
  idFor(name, new Set(taken.map(({ id }) => id)));
