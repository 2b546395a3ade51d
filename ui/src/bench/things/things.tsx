import { type ComponentChildren, Fragment } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';
import './things.css';
import type { Show } from '../../../../node/show/document.ts';
import { useFocusThatFollows } from '../../parts/keep-focus.ts';
import { Order } from '../../parts/order.tsx';
import { Push } from '../../parts/push.tsx';
import { as } from '../../parts/spoken.tsx';
import { isOpen } from '../../state.ts';
import { duplicateAndOpen, forgetTold, move, takeOut, told } from './acts.ts';
import { ChosenThings } from './chosen-things.tsx';
import { addressOfThing, type Listed, type ThingKind } from './kinds.ts';
import { moveThrough } from './list-keys.ts';
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

/** What a press on a row does: opens it, moves it, or chooses it for what is done with several. */
type Mode = 'open' | 'order' | 'choose';

/** All things of a kind by their names; when they are put in order each can be moved, made twice and taken out; or several are chosen at once. */
export function Things<One extends Listed>(props: ThingsProps<One>) {
  const { show, kind, things, one: what, all, empty, onNew } = props;
  const [sought, setSought] = useState('');
  const [mode, setMode] = useState<Mode>('open');
  const [chosen, setChosen] = useState<ReadonlySet<string>>(new Set());
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
  const toggle = (id: string): void => {
    const next = new Set(chosen);
    if (!next.delete(id)) next.add(id);
    setChosen(next);
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
      <ul {...as.list} class="bench-things" data-arranging={mode === 'order'} onKeyDown={moveThrough}>
        {found.map((one) => (
          <li key={one.id}>
            {mode === 'choose' ? (
              <label class="thing-row">
                <input type="checkbox" checked={chosen.has(one.id)} onChange={() => toggle(one.id)} />
                <Row one={one} list={props} />
              </label>
            ) : (
              <a class="thing-row" href={addressOfThing(kind, one.id)}>
                <Row one={one} list={props} />
              </a>
            )}
            {mode === 'order' && (
              <div class="thing-order">
                <Order
                  name={one.name}
                  mark={one.id}
                  at={things.indexOf(one)}
                  count={things.length}
                  disabled={!isOpen.value}
                  onMove={moved}
                />
                <Push label={`Make another like ${one.name}`} onClick={() => void duplicateAndOpen(show, kind, one)}>
                  Make another
                </Push>
                <Push label={`Take out ${one.name}`} onClick={() => void takeOut(show, kind, [one])}>
                  Take out
                </Push>
              </div>
            )}
          </li>
        ))}
      </ul>
      {mode === 'choose' && (
        <ChosenThings
          {...{ show, kind, what, all, found }}
          chosen={things.filter(({ id }) => chosen.has(id))}
          onChoose={(some) => setChosen(new Set(some))}
          onDone={() => {
            setMode('open');
            setChosen(new Set());
          }}
        />
      )}
      {mode !== 'choose' && (
        <div class="bench-row">
          <Push onClick={onNew}>Make a new {what}</Push>
          {things.length > 0 && (
            <Push onClick={() => setMode(mode === 'order' ? 'open' : 'order')}>
              {mode === 'order' ? 'Done' : `Put ${all} in order`}
            </Push>
          )}
          {things.length > 1 && mode === 'open' && <Push onClick={() => setMode('choose')}>Choose several {all}</Push>}
        </div>
      )}
    </>
  );
}

interface RowProps<One extends Listed> {
  readonly one: One;
  readonly list: ThingsProps<One>;
}

/** A thing by its name, whether it plays, and what else is told of it. */
const Row = <One extends Listed>({ one, list: { kind, before, after } }: RowProps<One>) => (
  <>
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
  </>
);

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
