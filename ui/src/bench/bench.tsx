import { useEffect, useLayoutEffect, useRef, useState } from 'preact/hooks';
import './bench.css';
import { counted } from '../../../node/core/words.ts';
import type { Show } from '../../../node/show/document.ts';
import type { Fault } from '../../../node/show/places.ts';
import { Push } from '../parts/push.tsx';
import { as } from '../parts/spoken.tsx';
import { addressOf, within } from '../route.ts';
import { hello, isOpen } from '../state.ts';
import { draft, follow, load, othersEdit, steps, trouble } from './draft.ts';
import { conflict, crossed, hush, refusal, takeBack, waiting, want } from './edits.ts';
import { nextStepOf } from './next-step.ts';
import { addressOfFault, type PageName, pages } from './pages.tsx';
import { shortened } from './shortened.ts';
import { BenchRoom } from './where/where-bar.tsx';
import { faultInWords } from './written.ts';

/** What does this look like when I change it? */
export function Bench() {
  const me = hello.value?.you.name;
  const open = isOpen.value;
  useEffect(() => {
    if (open) void load();
  }, [open]);
  useEffect(() => follow(me), [me]);
  const scrolled = useScrolled(draft.value !== undefined);
  const { value: now } = draft;
  if (now === undefined) return <p class="opening">{trouble.value ?? 'Reading the show…'}</p>;
  const { show, faults } = now;
  const [name, thing] = within.value;
  const page = name !== undefined && Object.hasOwn(pages, name) ? pages[name as PageName] : undefined;
  return (
    <div class="bench">
      <BenchRoom show={show} isPlayable={faults.length === 0} />
      <div class="bench-head">
        {page === undefined ? (
          <h1 class="bench-title">
            {show.name}
            {show.demo && <small> demo, invented</small>}
          </h1>
        ) : (
          <a class="push bench-back" href={thing === undefined ? addressOf('bench') : addressOf('bench', name ?? '')}>
            {thing === undefined ? 'Bench' : page.name}
          </a>
        )}
      </div>
      <div ref={scrolled} class="bench-page">
        <Said />
        {faults.length > 0 && <Missing key={name} faults={faults} show={show} isOpen={page === undefined} />}
        {page === undefined ? <Contents show={show} /> : <page.Page show={show} open={thing} />}
      </div>
      <div class="bench-steps">
        <Step way="undo" name="Take back" what={steps.value.undo} isOpen={open} />
        <Step way="redo" name="Bring back" what={steps.value.redo} isOpen={open} />
      </div>
    </div>
  );
}

interface StepProps {
  readonly way: 'undo' | 'redo';
  readonly name: string;
  /** Undefined: there is nothing. */
  readonly what: string | undefined;
  readonly isOpen: boolean;
}

/** Where there is little room its words end at a whole word; whoever listens hears all of them. */
function Step({ way, name, what, isOpen: open }: StepProps) {
  const all = what === undefined ? name : `${name}: ${what}`;
  return (
    <Push label={all} disabled={!open || what === undefined} onClick={() => void takeBack(way)}>
      <span class="step-all">{all}</span>
      <span class="step-short">{shortened(all, MOST_LETTERS)}</span>
    </Push>
  );
}

/** Letters that the label of a step has on a phone. */
const MOST_LETTERS = 48;

/** How far each list was scrolled. */
const lists = new Map<string, number>();

/** A thing that is opened begins at its top; the list that it was chosen from is found again where it was left. @param isThere the page is drawn */
function useScrolled(isThere: boolean): { readonly current: HTMLDivElement | null } {
  const element = useRef<HTMLDivElement>(null);
  const [name = '', thing] = within.value;
  const place = within.value.join('/');
  useLayoutEffect(() => {
    const page = element.current;
    if (page === null) return;
    page.scrollTo(0, thing === undefined ? (lists.get(name) ?? 0) : 0);
    if (thing !== undefined) return;
    const note = (): void => void lists.set(name, page.scrollTop);
    page.addEventListener('scroll', note, { passive: true });
    return () => page.removeEventListener('scroll', note);
  }, [place, isThere]);
  return element;
}

/** One place for what has to be said of edits: what clashed, what was refused, what waits, what another does. */
function Said() {
  const place = within.value.join('/');
  useEffect(() => hush, [place]);
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
  if (crossed.value !== undefined) return <Crossed {...crossed.value} />;
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

/** What this person did is behind what another did since: they choose, and either way what they did before that is next. */
function Crossed({ who, way }: { readonly who: string; readonly way: 'undo' | 'redo' }) {
  return (
    <div class="trouble urgent" role="alert">
      <p>{who} has changed that since: nothing was done.</p>
      <Push onClick={() => void takeBack(way, 'theirs')}>Leave theirs</Push>
      <Push onClick={() => void takeBack(way, 'mine')}>
        {way === 'undo' ? 'Take it back all the same' : 'Bring it back all the same'}
      </Push>
    </div>
  );
}

interface MissingProps {
  readonly faults: readonly Fault[];
  readonly show: Show;
  /** On a page, which says of its own things what they lack, the list is a touch away: it would stand before what is to be done there. */
  readonly isOpen: boolean;
}

/** What keeps the draft from being played, and where. */
function Missing({ faults, show, isOpen: first }: MissingProps) {
  const [isShown] = useState(first);
  return (
    <section class="trouble urgent bench-missing" aria-labelledby="bench-missing">
      <details open={isShown}>
        <summary>
          <h2 id="bench-missing">Not playable yet: what played last plays on</h2>
        </summary>
        <ul {...as.list}>
          {faults.slice(0, 8).map((fault) => (
            <li key={`${fault.path} ${fault.message}`}>
              <a class="push" href={addressOfFault(fault)}>
                {faultInWords(fault, show)}
              </a>
            </li>
          ))}
        </ul>
        {faults.length > 8 && <p>{counted(faults.length - 8, 'more')}</p>}
      </details>
    </section>
  );
}

/** What a show is made of, and how much of it there is. */
function Contents({ show }: { readonly show: Show }) {
  const next = nextStepOf(show);
  return (
    <>
      {next !== undefined && (
        <div class="bench-next">
          <p>{next.why}</p>
          <div class="bench-row">
            <a class="push main" href={addressOf('bench', next.page)}>
              {next.name}
            </a>
            {next.page === 'lights' && (
              <a class="push" href={addressOf('bench', 'shows')}>
                Open another show
              </a>
            )}
          </div>
        </div>
      )}
      <ul {...as.list} class="bench-contents">
        {(Object.keys(pages) as PageName[]).map((name) => (
          <li key={name}>
            <a href={addressOf('bench', name)}>
              <strong>{pages[name].name}</strong>
              <span class="quiet">{pages[name].holds(show)}</span>
            </a>
          </li>
        ))}
        <li>
          <a href={addressOf('papers')}>
            <strong>Papers</strong>
            <span class="quiet">What to take along, set up and hand over</span>
          </a>
        </li>
      </ul>
    </>
  );
}
