import { listed } from '../../../../node/core/words.ts';
import type { Show } from '../../../../node/show/document.ts';
import { takingOut } from '../../../../node/show/take-out.ts';
import { Push } from '../../parts/push.tsx';
import { addressOf } from '../../route.ts';
import { clausesOf } from '../mentions.ts';
import { duplicateAndOpen, takeOut } from './acts.ts';
import { type Listed, places, type ThingKind } from './kinds.ts';

interface EndingProps {
  readonly show: Show;
  readonly kind: ThingKind;
  readonly thing: Listed;
}

/** What ends every sheet: another one like it, and taking it out, with what else that would change. */
export function Ending({ show, kind, thing }: EndingProps) {
  const also = clausesOf(takingOut(show, [{ kind, id: thing.id }]).mentions);
  const leave = async (): Promise<void> => {
    const [page = ''] = places[kind](thing.id);
    if (await takeOut(show, kind, [thing])) location.hash = addressOf('bench', page);
  };
  return (
    <div class="thing-ending">
      <div class="bench-row">
        <Push onClick={() => void duplicateAndOpen(show, kind, thing)}>Make another like it</Push>
        <Push label={`Take out ${thing.name}`} onClick={() => void leave()}>
          Take out
        </Push>
      </div>
      {also.length > 0 && <p class="quiet">If it is taken out, {listed(also)}.</p>}
    </div>
  );
}
