import type { Show } from '../../../../node/show/document.ts';
import { getSeen } from '../../api.ts';
import { Push } from '../../parts/push.tsx';
import { addressOf } from '../../route.ts';
import { isOpen } from '../../state.ts';
import { refusal } from '../edits.ts';
import type { PageProps } from '../page.ts';
import { Strips } from '../parts/part-sheet.tsx';
import { add, Things } from '../things.tsx';
import { HEARD, HeardPage } from './heard.tsx';
import { LookSheet } from './look.tsx';
import { takeLook } from './taken.ts';

/** All looks, the one that is open, or what another controller sends. */
export function LooksPage({ show, open }: PageProps) {
  if (open === HEARD) return <HeardPage show={show} />;
  const look = show.looks.find(({ id }) => id === open);
  return look === undefined ? <Looks show={show} /> : <LookSheet key={look.id} look={look} show={show} />;
}

/** All looks, by what they are called. */
function Looks({ show }: { readonly show: Show }) {
  return (
    <section aria-labelledby="bench-looks">
      <h1 id="bench-looks" class="bench-title">
        Looks
      </h1>
      <Things
        show={show}
        kind="look"
        things={show.looks}
        one="look"
        all="looks"
        empty="There is none yet. A look is one still picture of the room: which lights, how bright, in which colours."
        before={({ parts }) => <Strips parts={parts} show={show} />}
        // Lit a little, so that it can be seen.
        onNew={() => void add(show, 'look', 'New look', { parts: [{ who: [{ all: true }], level: 0.5 }] })}
      />
      <div class="bench-row">
        <Push disabled={!isOpen.value} onClick={() => void takeOver(show)}>
          Make a look of what is on
        </Push>
        <a class="push" href={addressOf('bench', 'looks', HEARD)}>
          Make a look of what another controller sends
        </a>
      </div>
    </section>
  );
}

/** What guests see now becomes a look that can be pressed again: without haze and strobes, and at the levels that it has now. */
async function takeOver(show: Show): Promise<void> {
  refusal.value = undefined;
  try {
    await takeLook(show, 'What was on', await getSeen());
  } catch (error) {
    refusal.value = error instanceof Error ? error.message : String(error);
  }
}
