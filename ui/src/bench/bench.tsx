import { signal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import './bench.css';
import { counted } from '../../../node/core/words.ts';
import type { Show } from '../../../node/show/document.ts';
import type { Fault } from '../../../node/show/places.ts';
import { Push } from '../parts/push.tsx';
import { as } from '../parts/spoken.tsx';
import { Room } from '../room/room.tsx';
import { hello, isOpen } from '../state.ts';
import { Colours } from './colours.tsx';
import { draft, follow, load, othersEdit, steps, trouble } from './draft.ts';
import { conflict, refusal, takeBack, waiting, want } from './edits.ts';
import { History } from './history.tsx';
import { LookSheet, newLook, opened } from './look.tsx';
import { cssOf, faultInWords } from './written.ts';

const sought = signal('');

/** What does this look like when I change it? */
export function Bench() {
  const me = hello.value?.you.name;
  const open = isOpen.value;
  useEffect(() => {
    if (open) void load();
  }, [open]);
  useEffect(() => follow(me), [me]);
  const { value: now } = draft;
  if (now === undefined) return <p class="opening">{trouble.value ?? 'Reading the show…'}</p>;
  const { show, faults } = now;
  const look = show.looks.find(({ id }) => id === opened.value);
  return (
    <div class="bench">
      <div class="bench-room">
        <div class="bench-picture">
          <Room />
        </div>
        <p class="quiet">
          {faults.length === 0
            ? 'Guests see at once what you change of lights that are on.'
            : 'Guests see nothing of what you change until the show is playable again.'}
        </p>
      </div>
      <div class="bench-page">
        {look === undefined && (
          <h1 class="bench-title">
            {show.name}
            {show.demo && <small> demo, invented</small>}
          </h1>
        )}
        <Said />
        {faults.length > 0 && <Missing faults={faults} show={show} />}
        {look === undefined ? <Looks show={show} /> : <LookSheet look={look} show={show} />}
        <Colours show={show} />
        <History />
        <a class="push to-papers" href="#/papers">
          Papers
        </a>
      </div>
      <div class="bench-steps">
        <Push disabled={!open || steps.value.undo === undefined} onClick={() => void takeBack('undo')}>
          <span>Take back{steps.value.undo === undefined ? '' : `: ${steps.value.undo}`}</span>
        </Push>
        <Push disabled={!open || steps.value.redo === undefined} onClick={() => void takeBack('redo')}>
          <span>Bring back{steps.value.redo === undefined ? '' : `: ${steps.value.redo}`}</span>
        </Push>
      </div>
    </div>
  );
}

/** One place for what has to be said of edits: what clashed, what was refused, what waits, what another does. */
function Said() {
  const clash = conflict.value;
  if (clash !== undefined)
    return (
      <div class="trouble urgent" role="alert">
        <p>
          {clash.who ?? 'Somebody'} has changed the {clash.field} meanwhile. Yours is not lost.
        </p>
        <Push
          onClick={() => {
            const { kind, id, field, now } = clash;
            conflict.value = undefined;
            want({ kind, id, field, now });
          }}
        >
          Put mine there
        </Push>
        <Push onClick={() => (conflict.value = undefined)}>Leave theirs</Push>
      </div>
    );
  if (refusal.value !== undefined)
    return (
      <p class="trouble" role="alert">
        {refusal.value}
      </p>
    );
  if (!isOpen.value && waiting.value.size > 0)
    return (
      <p class="trouble" role="status">
        The line to the node is away. {counted(waiting.value.size, 'change')} of yours will be sent when it is back.
      </p>
    );
  const other = othersEdit.value;
  return (
    <p class="bench-said quiet" aria-live="polite">
      {other === undefined ? '' : `${other.who}: ${other.what}`}
    </p>
  );
}

/** What keeps the draft from being played, and where. */
function Missing({ faults, show }: { readonly faults: readonly Fault[]; readonly show: Show }) {
  return (
    <section class="trouble urgent" aria-labelledby="bench-missing">
      <h2 id="bench-missing">Not playable yet: what played last plays on</h2>
      <ul {...as.list}>
        {faults.slice(0, 8).map((fault) => (
          <li key={`${fault.path} ${fault.message}`}>
            {fault.kind === 'look' ? (
              <Push onClick={() => (opened.value = fault.id)}>{faultInWords(fault, show)}</Push>
            ) : (
              <p>{faultInWords(fault, show)}</p>
            )}
          </li>
        ))}
      </ul>
      {faults.length > 8 && <p>{counted(faults.length - 8, 'more')}</p>}
    </section>
  );
}

/** All looks, by what they are called. */
function Looks({ show }: { readonly show: Show }) {
  const { colours } = show.theme;
  const found = show.looks.filter(({ name }) => name.toLowerCase().includes(sought.value.trim().toLowerCase()));
  return (
    <section aria-labelledby="bench-looks">
      <h2 id="bench-looks">Looks</h2>
      {show.looks.length > 8 && (
        <search>
          <input
            type="search"
            aria-label="Find a look"
            placeholder="Find a look"
            value={sought.value}
            onInput={({ currentTarget }) => (sought.value = currentTarget.value)}
          />
        </search>
      )}
      {show.looks.length === 0 && (
        <p>There is none yet. A look is one still picture of the room: which lights, how bright, in which colours.</p>
      )}
      <ul {...as.list} class="bench-looks">
        {found.map((look) => (
          <li key={look.id}>
            <button type="button" onClick={() => (opened.value = look.id)}>
              <span class="bench-strip" aria-hidden="true">
                {look.parts.flatMap(({ colour }, i) =>
                  [colour ?? []]
                    .flat()
                    .map((value) => <i key={`${i} ${value}`} style={{ background: cssOf(value, colours) ?? 'none' }} />),
                )}
              </span>
              <strong>{look.name}</strong>
            </button>
          </li>
        ))}
      </ul>
      <Push onClick={() => void newLook(show)}>Make a new look</Push>
    </section>
  );
}
