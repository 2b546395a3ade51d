import { computed, signal } from '@preact/signals';
import type { ComponentChildren } from 'preact';
import { useEffect, useMemo, useRef, useState } from 'preact/hooks';
import { listed } from '../../../node/core/words.ts';
import type { Button, ItemKind, ItemRef, Show } from '../../../node/show/document.ts';
import { takingOut } from '../../../node/show/take-out.ts';
import { type ListKind, listOf } from '../../../node/show/things.ts';
import { useFocusThatFollows } from '../parts/keep-focus.ts';
import { Order } from '../parts/order.tsx';
import { Push } from '../parts/push.tsx';
import { as } from '../parts/spoken.tsx';
import { addressOf } from '../route.ts';
import { isOpen, state } from '../state.ts';
import { change, idAfter } from './edits.ts';
import { clausesOf } from './mentions.ts';
import './things.css';

/** Kinds of things that a page of the bench lists. */
export type ThingKind = ItemKind | 'button' | 'moment' | 'landmark';

export interface Listed {
  readonly id: string;
  readonly order?: string | undefined;
  readonly name: string;
}

/** The page of a kind, and what a thing is called in its address. */
const places: Readonly<Record<ThingKind, (id: string) => readonly string[]>> = {
  look: (id) => ['looks', id],
  chase: (id) => ['chases', id],
  movement: (id) => ['movements', id],
  hit: (id) => ['hits', id],
  button: (id) => ['evening', `button:${id}`],
  moment: (id) => ['evening', `moment:${id}`],
  landmark: (id) => ['places', id],
};
export const addressOfThing = (kind: ThingKind, id: string): string => addressOf('bench', ...places[kind](id));
export function openThing(kind: ThingKind, id: string): void {
  location.hash = addressOfThing(kind, id);
}

/** What was taken out last, and what else that changed. */
const told = signal('');

function forgetTold(): void {
  told.value = '';
}

/** Takes a thing out with every mention of it, and says what that changed. */
export async function takeOut(show: Show, kind: ThingKind, { id, name }: Listed): Promise<boolean> {
  const { changes, mentions } = takingOut(show, [{ kind, id }]);
  if (!(await change(...changes))) return false;
  const also = clausesOf(mentions);
  told.value = `${name} is taken out${also.length === 0 ? '' : `: ${listed(also)}`}. “Take back” brings it back.`;
  return true;
}

/** A thing like another one, under a name of its own, right behind it; it is open then. */
export async function duplicate(show: Show, kind: ThingKind, thing: Listed): Promise<void> {
  const { order: _, ...own } = thing;
  const name = `${thing.name.slice(0, 70)}, another`;
  const id = idAfter(name, listOf(show, kind));
  if (await change({ do: 'add', kind, id, now: { ...own, id, name } })) openThing(kind, id);
}

/** A new thing; it is open then. @returns its id, or nothing where it was refused */
export async function add(
  show: Show,
  kind: ThingKind,
  name: string,
  more: Readonly<Record<string, unknown>>,
): Promise<string | undefined> {
  const id = idAfter(name, listOf(show, kind));
  if (!(await change({ do: 'add', kind, id, now: { id, name, ...more } }))) return undefined;
  openThing(kind, id);
  return id;
}

/** One place up or down among its kind. */
async function move(kind: ListKind, list: readonly Listed[], at: number, by: -1 | 1): Promise<void> {
  const one = list[at];
  const behind = by === 1 ? list[at + 1] : list[at - 2];
  if (one?.order === undefined || (by === 1 && behind === undefined) || (by === -1 && at === 0)) return;
  await change({ do: 'move', kind, id: one.id, was: one.order, after: behind?.id ?? null });
}

const stateWords = { coming: 'coming', on: 'on', going: 'going', away: 'away until somebody is back' } as const;

const pressedWords: Readonly<Record<string, string>> = { underneath: 'waits underneath', partly: 'partly on' };

/** How a thing plays just now, in a word; nothing where it does not. */
export function Playing({ item, button }: { readonly item?: string; readonly button?: string }) {
  const word = useMemo(
    () =>
      computed(() => {
        const pressed = button === undefined ? undefined : state.value?.buttons.find(({ id }) => id === button)?.state;
        if (pressed !== undefined) return pressed === 'off' ? '' : (pressedWords[pressed] ?? pressed);
        const entry = state.value?.playing.find((one) => one.item === item);
        if (entry === undefined) return '';
        return entry.isUnderneath ? 'waits underneath' : stateWords[entry.state];
      }),
    [item, button],
  ).value;
  return word === '' ? null : <em class="thing-on">{word}</em>;
}

interface ThingsProps<One extends Listed> {
  readonly show: Show;
  readonly kind: ThingKind;
  readonly things: readonly One[];
  /** In small letters: one of them, and all. */
  readonly one: string;
  readonly all: string;
  /** What one is, where there is none yet. */
  readonly empty: string;
  /** What stands before a name, and behind it. */
  readonly before?: (one: One) => ComponentChildren;
  readonly after?: (one: One) => ComponentChildren;
  readonly item?: (one: One) => ItemRef;
  readonly onNew: () => void;
}

/** From this many on there is a field to find one by its name. */
const MANY = 8;

/** All things of a kind by their names; when they are put in order each can be moved, made twice and taken out. */
export function Things<One extends Listed>(props: ThingsProps<One>) {
  const { show, kind, things, one: what, all, empty, before, after, onNew } = props;
  const [sought, setSought] = useState('');
  const [isArranging, setArranging] = useState(false);
  useEffect(() => forgetTold, []);
  const follow = useFocusThatFollows();
  const isMoving = useRef(false);
  // One after the other: the next is asked for on what has become of the one before.
  const moved = (at: number, by: -1 | 1, mark: string): void => {
    if (isMoving.current) return;
    isMoving.current = true;
    follow(mark);
    void move(kind, things, at, by).finally(() => {
      isMoving.current = false;
    });
  };
  const words = sought.trim().toLowerCase();
  const found = things.filter(({ name }) => name.toLowerCase().includes(words));
  return (
    <>
      {things.length > MANY && (
        <search>
          <input
            type="search"
            aria-label={`Find a ${what}`}
            placeholder={`Find a ${what}`}
            value={sought}
            onInput={({ currentTarget }) => setSought(currentTarget.value)}
          />
        </search>
      )}
      <p role="status" class={told.value === '' ? 'spoken' : 'said'}>
        {told.value}
      </p>
      {things.length === 0 && <p>{empty}</p>}
      {things.length > 0 && found.length === 0 && <p>No {what} is called so.</p>}
      <ul {...as.list} class="bench-things" data-arranging={isArranging}>
        {found.map((one) => {
          const at = things.indexOf(one);
          return (
            <li key={one.id}>
              <a href={addressOfThing(kind, one.id)}>
                {before?.(one)}
                <span>
                  <strong>{one.name}</strong>
                  {kind === 'moment' || kind === 'landmark' ? null : kind === 'button' ? (
                    <Playing button={one.id} />
                  ) : (
                    <Playing item={`${kind}:${one.id}`} />
                  )}
                  {after !== undefined && <span class="quiet">{after(one)}</span>}
                </span>
              </a>
              {isArranging && (
                <div class="thing-order">
                  <Order name={one.name} mark={one.id} at={at} count={things.length} disabled={!isOpen.value} onMove={moved} />
                  <Push label={`Make another like ${one.name}`} onClick={() => void duplicate(show, kind, one)}>
                    Make another
                  </Push>
                  <Push label={`Take out ${one.name}`} onClick={() => void takeOut(show, kind, one)}>
                    Take out
                  </Push>
                </div>
              )}
            </li>
          );
        })}
      </ul>
      <div class="bench-row">
        <Push onClick={onNew}>Make a new {what}</Push>
        {things.length > 0 && (
          <Push onClick={() => setArranging(!isArranging)}>{isArranging ? 'Done' : `Put ${all} in order`}</Push>
        )}
      </div>
    </>
  );
}

interface EndingProps {
  readonly show: Show;
  readonly kind: ThingKind;
  readonly thing: Listed;
}

/** What ends every sheet: another one like it, and taking it out, with what else that would change. */
export function Ending({ show, kind, thing }: EndingProps) {
  const also = clausesOf(takingOut(show, [{ kind, id: thing.id }]).mentions);
  const leave = async (): Promise<void> => {
    const [page = ''] = places[kind](thing.id);
    if (await takeOut(show, kind, thing)) location.hash = addressOf('bench', page);
  };
  return (
    <div class="thing-ending">
      <div class="bench-row">
        <Push onClick={() => void duplicate(show, kind, thing)}>Make another like it</Push>
        <Push label={`Take out ${thing.name}`} onClick={() => void leave()}>
          Take out
        </Push>
      </div>
      {also.length > 0 && <p class="quiet">If it is taken out, {listed(also)}.</p>}
    </div>
  );
}

/** The button by which a thing is started: one that starts nothing else before one that starts more. */
export function buttonFor(show: Show, ref: ItemRef): Button | undefined {
  const same = (one: ItemRef): boolean => JSON.stringify(one) === JSON.stringify(ref);
  const all = show.buttons.filter(({ starts }) => starts.some(same));
  return all.find(({ starts }) => starts.length === 1) ?? all[0];
}
