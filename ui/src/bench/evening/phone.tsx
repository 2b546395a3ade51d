import { useEffect, useState } from 'preact/hooks';
import type { ButtonSummary } from '../../../../node/api/contract.ts';
import { listed } from '../../../../node/core/words.ts';
import type { Button, ItemRef, Show } from '../../../../node/show/document.ts';
import { Push } from '../../parts/push.tsx';
import { hello } from '../../state.ts';
import { pagesOf } from '../../tonight/pages.ts';
import { ShowButton } from '../../tonight/show-button.tsx';
import { itemName } from './evening-words.ts';

interface PhonePictureProps {
  readonly show: Show;
  /** What is open beside it: the page that it is on is shown. */
  readonly button?: string;
  readonly moment?: string;
}

/** The buttons as they will lie on a phone: Tonight's own, not to be pressed here. */
export function PhonePicture({ show, button, moment }: PhonePictureProps) {
  const known = new Map(hello.value?.show.buttons.map((one) => [one.id, one]));
  const names = (refs: readonly ItemRef[]): readonly string[] => refs.map((ref) => itemName(ref, show));
  const pages = pagesOf(
    { buttons: show.buttons.map((one) => asShown(one, known.get(one.id))) },
    show.moments.map(({ id, name, buttons, starts, stops }) => ({ id, name, buttons, starts: names(starts), stops: names(stops) })),
  );
  const [chosen, setChosen] = useState('');
  const wanted = moment !== undefined ? `moment:${moment}` : pages.find((page) => page.buttons.some(({ id }) => id === button))?.id;
  useEffect(() => {
    if (wanted !== undefined) setChosen(wanted);
  }, [wanted]);
  const at = Math.max(
    0,
    pages.findIndex(({ id }) => id === chosen),
  );
  const page = pages[at];
  if (page === undefined) return null;
  const turn = (by: -1 | 1): void => setChosen(pages[at + by]?.id ?? '');
  const presses = page.buttons.filter(({ kind }) => kind === 'press');
  const held = page.buttons.filter(({ kind }) => kind === 'hold');
  return (
    <aside class="evening-phone" aria-labelledby="evening-phone">
      <h2 id="evening-phone">On the phone: {page.name}</h2>
      <p class="spoken">
        {page.buttons.length === 0 ? 'No buttons.' : `In this order: ${listed(page.buttons.map(({ name }) => name))}.`}
      </p>
      <div class="evening-screen" inert>
        <div class="presses">
          {presses.map((one) => (
            <ShowButton key={one.id} button={one} inView />
          ))}
        </div>
        {held.length > 0 && (
          <div class="hold-row">
            {held.map((one) => (
              <ShowButton key={one.id} button={one} inView />
            ))}
          </div>
        )}
      </div>
      {pages.length > 1 && (
        <div class="bench-row">
          <Push label="The page before" disabled={at === 0} onClick={() => turn(-1)}>
            Before
          </Push>
          <Push label="The next page" disabled={at === pages.length - 1} onClick={() => turn(1)}>
            Next
          </Push>
        </div>
      )}
    </aside>
  );
}

/** A button as the draft has it; what its picture shows is what the node has worked out of the last show that could be played. */
const asShown = ({ id, name, line, starts }: Button, known: ButtonSummary | undefined): ButtonSummary => ({
  ...(known ?? { notes: [], uses: [], frames: [] }),
  id,
  name,
  line,
  kind: starts.some((ref) => 'hit' in ref) ? 'hold' : 'press',
});
