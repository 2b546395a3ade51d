import { useEffect, useLayoutEffect, useRef, useState } from 'preact/hooks';
import { recent } from '../presses.ts';
import { MoreSign, Step, useMore, wayFrom } from './moment-bar.tsx';
import type { Page } from './pages.ts';
import { hasPlan } from './plan.ts';
import { BeginRow, Notes } from './plan-parts.tsx';
import { ShowButton } from './show-button.tsx';

interface MomentPagesProps {
  readonly pages: readonly Page[];
  readonly current: number;
  readonly onTurn: (page: number) => void;
}

/** Milliseconds. */
const NEIGHBOURS_AFTER = 120;

/**
 * The pages lie side by side: a swipe turns them, and so does a choice of {@link current}. A page counts as soon as most of it is seen, so
 * that a thumb need not wait for it to come to rest. Only the one in view is drawn, and when nothing else is to do its neighbours.
 */
export function MomentPages({ pages, current, onTurn }: MomentPagesProps) {
  const strip = useRef<HTMLDivElement>(null);
  const [around, setAround] = useState<number | undefined>(undefined);
  useEffect(() => {
    const timer = setTimeout(() => setAround(current), NEIGHBOURS_AFTER);
    return () => clearTimeout(timer);
  }, [current]);
  useLayoutEffect(() => {
    const element = strip.current;
    if (element === null) return;
    // A phone turned on its side keeps its page. It is called once at least, when all is laid out and before anything is seen of it.
    let width: number | undefined;
    const observer = new ResizeObserver(() => {
      if (element.clientWidth === width) return;
      if (width !== undefined || pageOf(element) !== current)
        element.scrollTo({ left: current * element.clientWidth, behavior: 'instant' });
      width = element.clientWidth;
    });
    observer.observe(element);
    return () => observer.disconnect();
  }, [current]);
  const scrolled = (element: Element) => {
    const seen = pageOf(element);
    if (seen !== current) onTurn(seen);
  };
  return (
    <div class="pages" ref={strip} onScroll={({ currentTarget }) => scrolled(currentTarget)}>
      {pages.map((page, i) => (
        <section key={page.id} class="page" aria-label={page.name} inert={i !== current}>
          {(i === current || (around !== undefined && Math.abs(i - around) <= 1)) &&
            (page.isAll ? <AllButtons page={page} inView={i === current} /> : <Buttons page={page} inView={i === current} />)}
        </section>
      ))}
    </div>
  );
}

const pageOf = ({ scrollLeft, clientWidth }: Element): number => Math.round(scrollLeft / Math.max(1, clientWidth));

interface PageProps {
  readonly page: Pick<Page, 'buttons' | 'moment'>;
  readonly inView: boolean;
}

function Buttons({ page, inView }: PageProps) {
  const list = useRef<HTMLDivElement>(null);
  const more = useMore(list);
  const presses = page.buttons.filter(({ kind }) => kind === 'press');
  const held = page.buttons.filter(({ kind }) => kind === 'hold');
  return (
    <>
      <div ref={list} class="presses">
        {hasPlan.value && page.moment !== undefined && <Notes moment={page.moment} />}
        {presses.map((button) => (
          <ShowButton key={button.id} button={button} inView={inView} />
        ))}
        {hasPlan.value && page.moment !== undefined && <BeginRow moment={page.moment} />}
      </div>
      <MoreSign more={more} />
      {held.length > 0 && (
        <div class="hold-row">
          {held.map((button) => (
            <ShowButton key={button.id} button={button} inView={inView} />
          ))}
        </div>
      )}
    </>
  );
}

/** What comes after, where there is room for it as well. */
export function NextMoment({ pages, current, onTurn }: MomentPagesProps) {
  const way = wayFrom(pages, current);
  if (way === undefined) return null;
  const buttons = way.to === undefined ? [] : (pages[way.to]?.buttons ?? []);
  return (
    <section class="next-moment" aria-label={`${way.isBack ? 'Now' : 'Next'}: ${way.name}`}>
      {way.moment === undefined ? <h2>Next: {way.name}</h2> : <Step pages={pages} current={current} onChoose={onTurn} />}
      {!way.isBack && <Buttons page={{ buttons }} inView />}
    </section>
  );
}

/** Every button of the show, found by a few letters; without any the ones that were pressed last come first. */
function AllButtons({ page, inView }: PageProps) {
  const [text, setText] = useState('');
  const words = text.toLowerCase().split(/\s+/).filter(Boolean);
  const rank = (id: string): number => {
    const at = recent.value.indexOf(id);
    return at < 0 ? Number.POSITIVE_INFINITY : at;
  };
  const found = page.buttons
    .filter(({ name, line }) => words.every((word) => `${name} ${line}`.toLowerCase().includes(word)))
    .sort((a, b) => (rank(a.id) === rank(b.id) ? 0 : rank(a.id) - rank(b.id)));
  return (
    <>
      <input
        type="search"
        class="find-button"
        aria-label="Find a button"
        placeholder="Find a button"
        autocomplete="off"
        value={text}
        onInput={({ currentTarget }) => setText(currentTarget.value)}
      />
      {found.length === 0 && <p class="empty">No button is called so.</p>}
      <div class="presses">
        {found.map((button) => (
          <ShowButton key={button.id} button={button} inView={inView} />
        ))}
      </div>
    </>
  );
}
