import { pressFeel } from '../parts/press-feel.ts';
import { ButtonPicture } from '../room/button-picture.tsx';
import { state } from '../state.ts';
import type { Page } from './pages.ts';

interface MomentChoiceProps {
  readonly pages: readonly Page[];
  readonly current: number;
  readonly onChoose: (page: number) => void;
}

/** Where the thumb is in the evening, and what comes next with its picture; the name opens all of them. */
export function MomentBar({ pages, current, onChoose, onOpen }: MomentChoiceProps & { readonly onOpen: () => void }) {
  const here = pages[current];
  const next = pages[current + 1];
  const picture = next?.isAll === false ? next.buttons.find(({ kind }) => kind === 'press') : undefined;
  return (
    <div class="moment-bar">
      <button type="button" class="moment-name" {...pressFeel} onClick={onOpen}>
        <strong>{here?.name}</strong>{' '}
        <span class="quiet">
          {current + 1} of {pages.length}
        </span>
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
  const on = new Set(state.value?.buttons.flatMap(({ id, state: real }) => (real === 'on' || real === 'coming' ? [id] : [])));
  return (
    <nav class="moment-list" aria-label="Moments of the evening">
      {pages.map(({ id, name, buttons, isAll }, i) => (
        <button key={id} type="button" aria-current={i === current ? 'true' : undefined} {...pressFeel} onClick={() => onChoose(i)}>
          {name}
          {/* Its place is kept, or the moments beside it would move. */}
          {!isAll && (
            <span class="mark" data-on={buttons.some((button) => on.has(button.id))}>
              on
            </span>
          )}
        </button>
      ))}
    </nav>
  );
}
