import { state } from '../state.ts';
import type { Page } from './pages.ts';

interface MomentChoiceProps {
  readonly pages: readonly Page[];
  readonly current: number;
  readonly onChoose: (page: number) => void;
}

/** Where the thumb is in the evening, with the neighbours either side; the name opens all of them. */
export function MomentBar({ pages, current, onChoose, onOpen }: MomentChoiceProps & { readonly onOpen: () => void }) {
  const step = (by: number, sign: string) => {
    const to = pages[current + by];
    return (
      <button
        type="button"
        class="step"
        aria-label={to === undefined ? 'No more moments this way' : `To ${to.name}`}
        disabled={to === undefined}
        onClick={() => onChoose(current + by)}
      >
        {sign}
      </button>
    );
  };
  return (
    <div class="moment-bar">
      {step(-1, '‹')}
      <button type="button" class="moment-name" onClick={onOpen}>
        <strong>{pages[current]?.name}</strong>{' '}
        <span class="quiet">
          {current + 1} of {pages.length}
        </span>
        <span class="spoken">, choose another moment</span>
      </button>
      {step(1, '›')}
    </div>
  );
}

/** Every moment by its name; those in which something is on say so. */
export function MomentList({ pages, current, onChoose }: MomentChoiceProps) {
  const on = new Set(state.value?.buttons.flatMap(({ id, state: real }) => (real === 'on' || real === 'coming' ? [id] : [])));
  return (
    <nav class="moment-list" aria-label="Moments of the evening">
      {pages.map(({ id, name, buttons }, i) => (
        <button key={id} type="button" aria-current={i === current ? 'true' : undefined} onClick={() => onChoose(i)}>
          {name}
          {buttons.some((button) => on.has(button.id)) && <span class="mark">on</span>}
        </button>
      ))}
    </nav>
  );
}
