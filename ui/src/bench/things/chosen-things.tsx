import { counted, listed } from '../../../../node/core/words.ts';
import type { Show } from '../../../../node/show/document.ts';
import { takingOut } from '../../../../node/show/take-out.ts';
import { Push } from '../../parts/push.tsx';
import { isOpen } from '../../state.ts';
import { clausesOf } from '../mentions.ts';
import { duplicate, takeOut } from './acts.ts';
import type { Listed, ThingKind } from './kinds.ts';

interface ChosenThingsProps {
  readonly show: Show;
  readonly kind: ThingKind;
  /** One of them, in small letters, and all. */
  readonly what: string;
  readonly all: string;
  readonly chosen: readonly Listed[];
  /** Those that are in the list now. */
  readonly found: readonly Listed[];
  readonly onChoose: (ids: readonly string[]) => void;
  readonly onDone: () => void;
}

/** Clauses about what else would be changed that are told; of more there is a number. */
const MOST_TOLD = 3;

/** What is done with several things at once, as one change; it stays in view below the list. */
export function ChosenThings({ show, kind, what, all, chosen, found, onChoose, onDone }: ChosenThingsProps) {
  const many = counted(chosen.length, what);
  const none = chosen.length === 0 || !isOpen.value;
  const also = clausesOf(
    takingOut(
      show,
      chosen.map(({ id }) => ({ kind, id })),
    ).mentions,
  );
  const told =
    also.length > MOST_TOLD ? [...also.slice(0, MOST_TOLD - 1), `${also.length - MOST_TOLD + 1} others change too`] : also;
  const ids = new Set(chosen.map(({ id }) => id));
  const isAll = found.every(({ id }) => ids.has(id));
  return (
    <>
      <p role="status" class="things-said">
        {chosen.length === 0 ? `No ${what} is chosen yet: touch their names.` : `${many} chosen.`}
        {told.length > 0 && <span class="quiet"> If taken out, {listed(told)}.</span>}
      </p>
      <div class="things-chosen">
        <Push
          disabled={none}
          label={chosen.length === 0 ? 'Take out' : `Take out ${many}`}
          onClick={() => {
            void takeOut(show, kind, chosen, all).then((done) => done && onChoose([]));
          }}
        >
          Take out {chosen.length === 0 ? '' : chosen.length}
        </Push>
        <Push
          disabled={none}
          label={`Make others like ${chosen.length === 1 ? 'it' : 'them'}`}
          onClick={() => {
            void duplicate(show, kind, chosen).then((made) => made.length > 0 && onChoose(made));
          }}
        >
          Make others
        </Push>
        <Push
          label={isAll ? 'Choose none' : 'Choose all'}
          onClick={() => onChoose(isAll ? [] : [...new Set([...ids, ...found.map(({ id }) => id)])])}
        >
          {isAll ? 'None' : 'All'}
        </Push>
        <Push onClick={onDone}>Done</Push>
      </div>
    </>
  );
}
