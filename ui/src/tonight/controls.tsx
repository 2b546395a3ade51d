import { computed } from '@preact/signals';
import { useEffect, useMemo, useState } from 'preact/hooks';
import { LIGHTS_UP } from '../../../node/core/remote.ts';
import { media } from '../parts/media.ts';
import { pressFeel } from '../parts/press-feel.ts';
import { Push } from '../parts/push.tsx';
import { tell } from '../presses.ts';
import { recall, remember } from '../remembered.ts';
import { addressOf } from '../route.ts';
import { hello, isOpen, may, role, state } from '../state.ts';
import { AtTheLights } from './at-the-lights.tsx';
import { LevelLine } from './level-line.tsx';
import { MomentBar, MomentList } from './moment-bar.tsx';
import { MomentPages, NextMoment } from './moment-pages.tsx';
import { type Page, pagesOf } from './pages.ts';
import { evening, hasPlan, onNow } from './plan.ts';
import { Arrange } from './plan-parts.tsx';
import { HalveAndDouble, TapTempo } from './tempo.tsx';

/** A laptop, or a tablet or phone on its side: picture and controls next to each other. */
const wide = media('(min-width: 900px), (min-width: 640px) and (max-height: 500px)');
/** Room for everything at once. */
export const laptop = media('(min-width: 900px) and (min-height: 501px)');
/** Minutes that a phone in a pocket asks for. */
const POCKET = 30;

function pageOfWhatIsOn(pages: readonly Page[]): string | undefined {
  const begun = pages.find(({ moment }) => moment !== undefined && moment === onNow.peek()?.id);
  if (begun !== undefined) return begun.id;
  // What was pressed last lies on top.
  const newest = state
    .peek()
    ?.playing.findLast(({ button, state: real }) => button !== null && (real === 'on' || real === 'coming'));
  return pages.find(({ isAll, buttons }) => !isAll && buttons.some(({ id }) => id === newest?.button))?.id;
}

/** Which page of a show this phone was on last: a thumb finds its place again after the phone slept. */
const pageKey = (show: string): string => `page-${show}`;

/** What is pressed: the buttons of a moment, the other moments, and what concerns everything. */
export function Controls() {
  const show = hello.value?.show;
  const pages = useMemo(() => (show === undefined ? [] : pagesOf(show, evening.value)), [show, evening.value]);
  // A phone that was on none yet begins where something is on.
  const [chosen, setChosen] = useState(recall(pageKey(show?.id ?? '')) ?? pageOfWhatIsOn(pages));
  const [panel, setPanel] = useState<'buttons' | 'moments' | 'arrange' | 'more'>('buttons');
  const current = Math.max(
    0,
    pages.findIndex(({ id }) => id === chosen),
  );
  const turn = (to: number) => {
    const page = pages[to];
    if (page === undefined || show === undefined) return;
    setChosen(page.id);
    remember(pageKey(show.id), page.id);
    setPanel('buttons');
  };
  const arrange = () => setPanel('arrange');
  const other = (asked: typeof panel) => setPanel(panel === asked ? 'buttons' : asked);
  useEffect(() => {
    const leave = ({ key }: KeyboardEvent) => key === 'Escape' && setPanel('buttons');
    addEventListener('keydown', leave);
    return () => removeEventListener('keydown', leave);
  }, []);
  return (
    <div class="control" tabIndex={-1}>
      {pages.length === 0 && <NothingYet />}
      {wide.value && pages.length > 0 && <MomentList pages={pages} current={current} onChoose={turn} onArrange={arrange} />}
      {panel === 'arrange' ? (
        <Arrange onDone={() => setPanel(wide.value ? 'buttons' : 'moments')} />
      ) : panel === 'moments' && !wide.value ? (
        <MomentList pages={pages} current={current} onChoose={turn} onArrange={arrange} />
      ) : panel === 'more' && !laptop.value ? (
        <More />
      ) : (
        <MomentPages pages={pages} current={current} onTurn={turn} />
      )}
      {laptop.value && panel === 'buttons' && <NextMoment pages={pages} current={current} onTurn={turn} />}
      {(!wide.value || (!laptop.value && hasPlan.value)) && panel !== 'more' && pages.length > 0 && (
        <MomentBar pages={pages} current={current} onChoose={turn} onOpen={() => other('moments')} />
      )}
      <div class="tools">
        <Everything name="Lights up" how="calm" isOn={areUp.value} onClick={() => tell({ do: 'lights-up' })} />
        {may('all-off') && <Everything name="All off" how="softly" onClick={() => tell({ do: 'all-off' })} />}
        {may('tempo') && <TapTempo />}
        {may('master') && !laptop.value && (
          <button type="button" class="everything" aria-pressed={panel === 'more'} {...pressFeel} onClick={() => other('more')}>
            <span class="name">{panel === 'more' ? 'Close' : 'More'}</span>
          </button>
        )}
      </div>
    </div>
  );
}

/** A show without buttons: what to do first, and where. */
function NothingYet() {
  const isEmpty = hello.value?.show.fixtures.length === 0;
  return (
    <p class="empty">
      {isEmpty ? 'This show has no lights yet, so nothing plays.' : 'This show has no buttons yet, so nothing can be pressed.'}{' '}
      {role.value === 'operator' ? (
        <a class="push" href={addressOf('bench', ...(isEmpty ? ['shows'] : ['looks']))}>
          {isEmpty ? 'Open another show, or fill this one' : 'Make a look and give it a button'}
        </a>
      ) : (
        'Somebody who may use the bench has to make it.'
      )}
    </p>
  );
}

/** "Lights up, calm" is what is on, or comes. */
const areUp = computed(
  () =>
    state.value?.playing.some(
      ({ item, state: stands, isUnderneath }) => item === LIGHTS_UP && (stands === 'on' || stands === 'coming') && !isUnderneath,
    ) === true,
);

interface EverythingProps {
  readonly name: string;
  readonly how: string;
  /** Absent for what is done once and then over. */
  readonly isOn?: boolean;
  readonly onClick: () => void;
}

/** One press, everywhere. */
const Everything = ({ name, how, isOn, onClick }: EverythingProps) => (
  <button type="button" class="everything" aria-pressed={isOn} disabled={!isOpen.value} {...pressFeel} onClick={onClick}>
    <span class="name">{name}</span> <span class="how">{isOn ? `${how}, on` : how}</span>
  </button>
);

/** For a phone that goes into a pocket, where it cannot beat. */
function Pocket() {
  const left = state.value?.left;
  return (
    <>
      <div class="pair">
        {left === undefined ? (
          <Push disabled={!isOpen.value} onClick={() => tell({ do: 'leave', minutes: POCKET })}>
            Leave it to the node for {POCKET} minutes
          </Push>
        ) : (
          <p>
            <strong>The node has it.</strong> The next touch here ends that.
          </p>
        )}
      </div>
      <p class="quiet">For a phone in a pocket: what plays goes on, heads slowly, no haze, no strobe. Any touch here ends it.</p>
    </>
  );
}

/** Levels in plain lines, tempo, and on a phone leaving the lights alone. */
export function More() {
  const show = hello.value?.show;
  const uses = show?.uses.filter(({ use }) => use !== 'haze') ?? [];
  const named = new Set(uses.map(({ name }) => name));
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: it scrolls, and a keyboard must reach what is below
    <section class="more-panel" aria-label="More" tabIndex={0}>
      {!laptop.value && <Pocket />}
      <h2>Levels</h2>
      <ul class="level-lines">
        <LevelLine name="All lights" />
        {uses.map(({ id, name }) => (
          <LevelLine key={id} name={name} group={id} />
        ))}
        {show?.groups
          .filter(({ name }) => !named.has(name))
          .map(({ id, name }) => (
            <LevelLine key={id} name={name} group={id} />
          ))}
      </ul>
      <h2>Tempo</h2>
      <div class="pair">
        <HalveAndDouble />
      </div>
      <AtTheLights />
    </section>
  );
}
