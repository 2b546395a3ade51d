import { useFocusThatFollows } from '../parts/keep-focus.ts';
import { Order } from '../parts/order.tsx';
import { pressFeel } from '../parts/press-feel.ts';
import { Push } from '../parts/push.tsx';
import { as } from '../parts/spoken.tsx';
import { halfSeconds } from '../parts/ticker.ts';
import { tell } from '../presses.ts';
import { isOpen, may } from '../state.ts';
import { doesInWords, lateInWords, type Tonights, whenInWords } from './evening.ts';
import { evening, late, wallNow } from './plan.ts';

/** Minutes by which one press makes the evening later or earlier. */
const STEP = 5;

/** Begins a moment of the evening. */
export const begin = ({ id }: Tonights): void => tell({ do: 'moment', moment: id });

/** What the maker of a moment wants to remember of it, on its page. */
export function Notes({ moment }: { readonly moment: string }) {
  const notes = evening.value.find(({ id }) => id === moment)?.notes ?? '';
  return notes === '' ? null : <p class="notes">{notes}</p>;
}

/** On the page of a moment, behind its buttons: begins it out of turn, and says what that changes. */
export function BeginRow({ moment }: { readonly moment: string }) {
  const found = evening.value.find(({ id }) => id === moment);
  if (found === undefined) return null;
  const { name, isOn } = found;
  return (
    <button
      type="button"
      class="begin-moment"
      aria-pressed={isOn}
      aria-disabled={isOn || !isOpen.value}
      {...pressFeel}
      onClick={() => !isOn && isOpen.value && begin(found)}
    >
      <strong>{isOn ? `${name} is on` : `Begin ${name}`}</strong>
      <span class="line">{doesInWords(found)}</span>
    </button>
  );
}

/** When a moment comes, beside its name. */
export function When({ moment }: { readonly moment: string }) {
  halfSeconds.value;
  const found = evening.value.find(({ id }) => id === moment);
  const words = found === undefined ? '' : whenInWords(found, wallNow());
  return words === '' ? null : <span class="when">{words}</span>;
}

/** How late the evening is, and by a press later or earlier: all that is still to come moves with it. */
export function Lateness() {
  if (!may('late') || !evening.value.some(({ at }) => at !== undefined)) return null;
  const set = (minutes: number): void => tell({ do: 'late', minutes });
  return (
    <div class="lateness">
      <Push label={`−${STEP} min: what is to come is earlier`} disabled={!isOpen.value} onClick={() => set(late.value - STEP)}>
        −{STEP} min
      </Push>
      <span role="status">{lateInWords(late.value)}</span>
      <Push label={`+${STEP} min: what is to come is later`} disabled={!isOpen.value} onClick={() => set(late.value + STEP)}>
        +{STEP} min
      </Push>
    </div>
  );
}

/** Tonight's order of the moments, to be changed on the spot: the show keeps its own. */
export function Arrange({ onDone }: { readonly onDone: () => void }) {
  const all = evening.value;
  const follow = useFocusThatFollows();
  const move = (at: number, by: -1 | 1, mark: string): void => {
    follow(mark);
    const ids = all.map(({ id }) => id);
    const [own, other] = [ids[at], ids[at + by]];
    if (own === undefined || other === undefined) return;
    tell({ do: 'order', moments: ids.map((id, i) => (i === at ? other : i === at + by ? own : id)) });
  };
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: it scrolls, and a keyboard must reach what is below
    <section class="arrange" aria-label="Order of tonight" tabIndex={0}>
      <p class="quiet">The order of tonight alone. The show keeps its own.</p>
      <ol {...as.list}>
        {all.map(({ id, name }, at) => (
          <li key={id}>
            <strong>{name}</strong>
            <span class="moves">
              <Order name={name} mark={id} at={at} count={all.length} disabled={!isOpen.value} onMove={move} />
            </span>
          </li>
        ))}
      </ol>
      <div class="pair">
        <Push disabled={!isOpen.value} onClick={() => tell({ do: 'order', moments: [] })}>
          As in the show
        </Push>
        <Push onClick={onDone}>Done</Push>
      </div>
    </section>
  );
}
