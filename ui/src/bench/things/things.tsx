import { type ComponentChildren, Fragment } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';
import './things.css';
import type { Show } from '../../../../node/show/document.ts';
import { Push } from '../../parts/push.tsx';
import { as } from '../../parts/spoken.tsx';
import { isOpen } from '../../state.ts';
import { useFocusThatFollows } from '../keep-focus.ts';
import { Order } from '../order.tsx';
import { duplicate, forgetTold, move, takeOut, told } from './acts.ts';
import { addressOfThing, type Listed, type ThingKind } from './kinds.ts';
import { Playing } from './playing.tsx';

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

interface ThingsPageProps<One extends Listed> extends ThingsProps<One> {
  /** The id of the one that is open. */
  readonly open: string | undefined;
  /** The one that is open, to be changed. */
  readonly sheet: (one: One) => ComponentChildren;
  /** Above the list, and below it. */
  readonly above?: ComponentChildren;
  readonly below?: ComponentChildren;
}

/** A page of the bench: all things of a kind, or the one that is open. */
export function ThingsPage<One extends Listed>({ open, sheet, above, below, ...list }: ThingsPageProps<One>) {
  const { all, things } = list;
  const one = things.find(({ id }) => id === open);
  if (one !== undefined) return <Fragment key={one.id}>{sheet(one)}</Fragment>;
  return (
    <section aria-labelledby={`bench-${all}`}>
      <h1 id={`bench-${all}`} class="bench-title">
        {all.charAt(0).toUpperCase() + all.slice(1)}
      </h1>
      {above}
      <Things {...list} />
      {below}
    </section>
  );
}
