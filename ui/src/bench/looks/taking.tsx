import { useEffect, useRef, useState } from 'preact/hooks';
import type { TakenLook } from '../../../../node/api/edit-contract.ts';
import type { Show } from '../../../../node/show/document.ts';
import { getSeen } from '../../api.ts';
import { Push } from '../../parts/push.tsx';
import { addressOf } from '../../route.ts';
import { isOpen } from '../../state.ts';
import { refusal } from '../edits.ts';
import { HEARD } from './heard.tsx';
import { takeLook } from './taken.ts';

/** A look of what goes to the lights: what this node sends, or another controller. */
export function Taking({ show }: { readonly show: Show }) {
  const [seen, setSeen] = useState<TakenLook | undefined>(undefined);
  /** Without haze and strobes; where masters hold light back it is asked first which of both is meant. */
  const take = async (): Promise<void> => {
    refusal.value = undefined;
    try {
      const look = await getSeen();
      if (look.held === undefined) await takeLook(show, NAME, look);
      else setSeen(look);
    } catch (error) {
      refusal.value = error instanceof Error ? error.message : String(error);
    }
  };
  return (
    <>
      <div class="bench-row">
        <Push disabled={!isOpen.value} onClick={() => void take()}>
          Make a look of what is on
        </Push>
        <a class="push" href={addressOf('bench', 'looks', HEARD)}>
          Make a look of what another controller sends
        </a>
      </div>
      {seen?.held !== undefined && <WhichOfBoth show={show} look={seen} held={seen.held} onDone={() => setSeen(undefined)} />}
    </>
  );
}

const NAME = 'What was on';

interface WhichProps {
  readonly show: Show;
  readonly look: TakenLook;
  readonly held: NonNullable<TakenLook['held']>;
  readonly onDone: () => void;
}

/** Masters hold back what is on, and would hold the look back once more. */
function WhichOfBoth({ show, look, held, onDone }: WhichProps) {
  const question = useRef<HTMLDivElement>(null);
  // It comes below the button that asked for it, where a phone may not show it.
  useEffect(() => question.current?.scrollIntoView({ block: 'nearest' }), []);
  const take = (parts: TakenLook['parts'], how: string): void => {
    onDone();
    void takeLook(show, NAME, { parts, left: [...look.left, how] });
  };
  return (
    <div ref={question} class="trouble" role="status">
      <p>
        {held.words} hold light back now. A look that has that in it would be held back twice when it is pressed while they stand
        so.
      </p>
      <div class="bench-row">
        <Push
          kind="main"
          onClick={() => take(look.parts, `Taken as bright as it is without them: ${held.words} hold it back when it plays.`)}
        >
          As bright as it is without them
        </Push>
        <Push onClick={() => take(held.seen, `Taken as it was seen: ${held.words} are in it.`)}>As it is seen now</Push>
        <Push onClick={onDone}>Neither</Push>
      </div>
    </div>
  );
}
