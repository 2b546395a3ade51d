import { useEffect, useRef, useState } from 'preact/hooks';
import { pressFeel } from '../parts/press-feel.ts';
import { ButtonPicture } from '../room/button-picture.tsx';
import { state } from '../state.ts';
import { type Page, placeOf } from './pages.ts';

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
  // The page to find a button on is no moment that comes.
  const next = pages[current + 1]?.isAll === false ? pages[current + 1] : undefined;
  const picture = next?.buttons.find(({ kind }) => kind === 'press');
  return (
    <div class="moment-bar">
      <button type="button" class="moment-name" data-long={(here?.name.length ?? 0) > SHORT} {...pressFeel} onClick={onOpen}>
        <strong>{here?.name}</strong> <span class="quiet">{placeOf(pages, current)}</span>
        <span class="spoken">, choose another moment</span>
      </button>
      {next !== undefined && (
        <button type="button" class="next" {...pressFeel} onClick={() => onChoose(current + 1)}>
          <span>
            <span class="quiet">Next</span> <strong>{next.name}</strong>
          </span>
          {picture !== undefined && <ButtonPicture button={picture} inView />}
        </button>
      )}
    </div>
  );
}

/** Every moment by its name; those in which something is on say so. */
export function MomentList({ pages, current, onChoose }: MomentChoiceProps) {
  const on = new Set(
    state.value?.buttons.flatMap(({ id, state: real }) => (real === 'on' || real === 'coming' || real === 'partly' ? [id] : [])),
  );
  const list = useRef<HTMLDivElement>(null);
  const more = useMore(list);
  return (
    <nav class="moments" aria-label="Moments of the evening">
      <div ref={list} class="moment-list">
        {pages.map(({ id, name, buttons, isAll }, i) => (
          <button
            key={id}
            type="button"
            aria-current={i === current ? 'true' : undefined}
            {...pressFeel}
            onClick={() => onChoose(i)}
          >
            <span>{name}</span>
            {/* Its place is kept, or the moments beside it would move. */}
            {!isAll && (
              <span class="mark" data-on={buttons.some((button) => on.has(button.id))}>
                on
              </span>
            )}
          </button>
        ))}
      </div>
      <MoreSign more={more} />
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
