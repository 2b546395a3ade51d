import { useEffect, useRef, useState } from 'preact/hooks';
import { pressFeel } from '../parts/press-feel.ts';
import { Push } from '../parts/push.tsx';
import { ButtonPicture } from '../room/button-picture.tsx';
import { may, state } from '../state.ts';
import type { Tonights } from './evening.ts';
import { type Page, placeOf } from './pages.ts';
import { hasPlan, nextAfter, onNow } from './plan.ts';
import { begin, Lateness, When } from './plan-parts.tsx';

interface MomentChoiceProps {
  readonly pages: readonly Page[];
  readonly current: number;
  readonly onChoose: (page: number) => void;
}

/** Characters of a name that leaves room beside it for which of how many it is. */
const SHORT = 14;

/** Where the thumb is in the evening, and what comes next with its picture; the name opens all of them, with their whole names. */
export function MomentBar({ pages, current, onChoose, onOpen }: MomentChoiceProps & { readonly onOpen: () => void }) {
  const here = pages[current];
  return (
    <div class="moment-bar">
      <button type="button" class="moment-name" data-long={(here?.name.length ?? 0) > SHORT} {...pressFeel} onClick={onOpen}>
        <strong>{here?.name}</strong> <span class="quiet">{placeOf(pages, current)}</span>
        <span class="spoken">, choose another moment</span>
      </button>
      <Step pages={pages} current={current} onChoose={onChoose} />
    </div>
  );
}

/** Where the evening leads from a page. */
interface Way {
  readonly name: string;
  /** Place of its page; absent where it has none. */
  readonly to?: number;
  /** The moment that a press begins, or the one that is on and that it comes back to. */
  readonly moment?: Tonights;
  readonly isBack: boolean;
}

/**
 * Where the evening has a plan a press begins the next moment; a thumb that has turned to another page than that of the moment that is on comes back
 * to it first, so that it never begins what it did not mean. Without one the next page is what comes.
 */
export function wayFrom(pages: readonly Page[], current: number): Way | undefined {
  const here = pages[current]?.moment;
  const on = onNow.value;
  const isBack = hasPlan.value && on !== undefined && on.id !== here;
  const moment = isBack ? on : hasPlan.value ? nextAfter(here) : undefined;
  if (moment !== undefined) {
    const to = pages.findIndex((page) => page.moment === moment.id);
    return { name: moment.name, moment, isBack, ...(to < 0 ? {} : { to }) };
  }
  const next = pages[current + 1];
  // The page to find a button on is no moment that comes.
  return hasPlan.value || next === undefined || next.isAll ? undefined : { name: next.name, to: current + 1, isBack };
}

/** Leads on in the evening by one press. */
export function Step({ pages, current, onChoose }: MomentChoiceProps) {
  const way = wayFrom(pages, current);
  if (way === undefined) return null;
  const { name, to, moment, isBack } = way;
  const picture = to === undefined ? undefined : pages[to]?.buttons.find(({ kind }) => kind === 'press');
  const go = () => {
    if (moment !== undefined && !isBack) begin(moment);
    if (to !== undefined) onChoose(to);
  };
  return (
    <button type="button" class="next" {...pressFeel} onClick={go}>
      <span>
        <span class="quiet">
          {moment?.at === undefined || isBack ? (
            isBack ? (
              'Now'
            ) : (
              'Next'
            )
          ) : (
            <>
              <span class="spoken">Next</span> <When moment={moment.id} />
            </>
          )}
        </span>{' '}
        <strong>{name}</strong>
      </span>
      {picture !== undefined && <ButtonPicture button={picture} inView />}
    </button>
  );
}

/** Every moment by its name; those in which something is on say so. */
export function MomentList({ pages, current, onChoose, onArrange }: MomentChoiceProps & { readonly onArrange: () => void }) {
  const on = new Set(
    state.value?.buttons.flatMap(({ id, state: real }) => (real === 'on' || real === 'coming' || real === 'partly' ? [id] : [])),
  );
  const now = hasPlan.value ? onNow.value : undefined;
  const list = useRef<HTMLDivElement>(null);
  const more = useMore(list);
  return (
    <nav class="moments" aria-label="Moments of the evening">
      <div ref={list} class="moment-list">
        {pages.map(({ id, name, buttons, isAll, moment }, i) => (
          <button
            key={id}
            type="button"
            aria-current={i === current ? 'true' : undefined}
            {...pressFeel}
            onClick={() => onChoose(i)}
          >
            <span>
              {name} {moment !== undefined && <When moment={moment} />}
            </span>
            {/* Its place is kept, or the moments beside it would move. */}
            {!isAll && (
              <span class="mark" data-on={moment === now?.id || buttons.some((button) => on.has(button.id))}>
                {moment === now?.id ? 'now' : 'on'}
              </span>
            )}
          </button>
        ))}
      </div>
      <MoreSign more={more} />
      {hasPlan.value && may('order') && (
        <div class="plan-tools">
          <Lateness />
          <Push label="Order of tonight: change it" onClick={onArrange}>
            Order
          </Push>
        </div>
      )}
    </nav>
  );
}

/** Says that a list goes on below, as long as it does. */
export const MoreSign = ({ more }: { readonly more: ReturnType<typeof useMore> }) =>
  more === 'none' ? null : (
    <p class="more-sign" data-more={more} aria-hidden="true">
      More below
    </p>
  );

/** Whether a list does not fit its place, and whether any of it lies below: a sign stands there as long as it does. */
export function useMore(list: { readonly current: HTMLElement | null }): 'none' | 'below' | 'above' {
  const [more, setMore] = useState<'none' | 'below' | 'above'>('none');
  useEffect(() => {
    const element = list.current;
    if (element === null) return;
    const look = () => {
      const { scrollHeight, clientHeight, scrollTop } = element;
      const rest = scrollHeight - clientHeight - scrollTop;
      setMore(scrollHeight <= clientHeight + 1 ? 'none' : rest > 4 ? 'below' : 'above');
    };
    const observer = new ResizeObserver(look);
    observer.observe(element);
    element.addEventListener('scroll', look, { passive: true });
    return () => {
      observer.disconnect();
      element.removeEventListener('scroll', look);
    };
  }, [list]);
  return more;
}
