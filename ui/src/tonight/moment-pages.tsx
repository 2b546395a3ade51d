import { useLayoutEffect, useRef } from 'preact/hooks';
import type { Page } from './pages.ts';
import { ShowButton } from './show-button.tsx';

/** From this many on, the buttons of a page stand in two columns. */
const TWO_COLUMNS_FROM = 5;
/** Up to this many are drawn larger. */
const FEW = 3;

interface MomentPagesProps {
  readonly pages: readonly Page[];
  readonly current: number;
  readonly onTurn: (page: number) => void;
}

/**
 * The pages lie side by side: a swipe turns them, and so does a choice of {@link current}. A page counts as soon as most of it is seen, so
 * that a thumb need not wait for it to come to rest.
 */
export function MomentPages({ pages, current, onTurn }: MomentPagesProps) {
  const strip = useRef<HTMLDivElement>(null);
  useLayoutEffect(() => {
    const element = strip.current;
    if (element === null) return;
    const place = () => {
      element.scrollTo({ left: current * element.clientWidth, behavior: 'instant' });
    };
    if (pageOf(element) !== current) place();
    // A phone turned on its side keeps its page.
    let width = element.clientWidth;
    const observer = new ResizeObserver(() => {
      if (element.clientWidth !== width) place();
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
          <Presses page={page} />
          <HoldRow page={page} />
        </section>
      ))}
    </div>
  );
}

const pageOf = ({ scrollLeft, clientWidth }: Element): number => Math.round(scrollLeft / Math.max(1, clientWidth));

function Presses({ page }: { readonly page: Page }) {
  const presses = page.buttons.filter(({ kind }) => kind === 'press');
  return (
    <div class="presses" data-columns={presses.length >= TWO_COLUMNS_FROM ? 2 : 1} data-few={presses.length <= FEW}>
      {presses.map((button) => (
        <ShowButton key={button.id} button={button} />
      ))}
    </div>
  );
}

function HoldRow({ page }: { readonly page: Page }) {
  const held = page.buttons.filter(({ kind }) => kind === 'hold');
  if (held.length === 0) return null;
  return (
    <div class="hold-row">
      {held.map((button) => (
        <ShowButton key={button.id} button={button} />
      ))}
    </div>
  );
}
