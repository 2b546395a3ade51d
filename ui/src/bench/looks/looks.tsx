import type { Show } from '../../../../node/show/document.ts';
import { getSeen } from '../../api.ts';
import { Push } from '../../parts/push.tsx';
import { addressOf } from '../../route.ts';
import { isOpen } from '../../state.ts';
import { refusal } from '../edits.ts';
import type { PageProps } from '../page.ts';
import { Strips } from '../parts/part-sheet.tsx';
import { add } from '../things/acts.ts';
import { ThingsPage } from '../things/things.tsx';
import { HEARD, HeardPage } from './heard.tsx';
import { LookSheet } from './look.tsx';
import { takeLook } from './taken.ts';

/** All looks, the one that is open, or what another controller sends. */
export function LooksPage({ show, open }: PageProps) {
  if (open === HEARD) return <HeardPage show={show} />;
  return (
    <ThingsPage
      show={show}
      kind="look"
      things={show.looks}
      one="look"
      all="looks"
      empty="There is none yet. A look is one still picture of the room: which lights, how bright, in which colours."
      before={({ parts }) => <Strips parts={parts} show={show} />}
      // Lit a little, so that it can be seen.
      onNew={() => void add(show, 'look', 'New look', { parts: [{ who: [{ all: true }], level: 0.5 }] })}
      open={open}
      sheet={(look) => <LookSheet look={look} show={show} />}
      below={
        <div class="bench-row">
          <Push disabled={!isOpen.value} onClick={() => void takeOver(show)}>
            Make a look of what is on
          </Push>
          <a class="push" href={addressOf('bench', 'looks', HEARD)}>
            Make a look of what another controller sends
          </a>
        </div>
      }
    />
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
