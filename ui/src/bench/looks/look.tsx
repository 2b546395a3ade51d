import type { Part, Show } from '../../../../node/show/document.ts';
import { hello } from '../../state.ts';
import { waitsFor } from '../edits.ts';
import { Text } from '../inputs.tsx';
import { Parts } from '../parts/part-sheet.tsx';
import { SeeIt } from '../see-it.tsx';
import { Sheet } from '../sheet.tsx';
import { Ending } from '../things/ending.tsx';
import { buttonFor } from '../things/kinds.ts';
import { TIME_HELP, Times } from '../times.tsx';
import { readSeconds } from '../written.ts';
import { leftOf } from './taken.ts';

type Look = Show['looks'][number];

/** One look, open to be changed. */
export function LookSheet({ look, show }: { readonly look: Look; readonly show: Show }) {
  const field = { kind: 'look', id: look.id } as const;
  const parts = (waitsFor({ ...field, field: 'parts' })?.now ?? look.parts) as readonly Part[];
  const button = buttonFor(show, { look: look.id });
  return (
    <Sheet name={look.name} act={<SeeIt show={show} of={{ look: look.id }} name={look.name} alone />}>
      <div class="bench-row">
        <Text {...field} field="name" label="Name" value={look.name} />
        <Text {...field} field="fade" label="Comes in over" value={`${look.fade} s`} read={readSeconds} help={TIME_HELP} />
      </div>
      {leftOf.value.id === look.id &&
        leftOf.value.left.map((one) => (
          <p key={one} class="quiet">
            {one}
          </p>
        ))}
      <Parts place={field} parts={parts} show={show} />
      {hello.value?.show.buttons.some(({ id, guessed }) => id === button?.id && guessed) === true && (
        <p class="quiet">How bright these lamps are beside each other is guessed by their kind: look at them in the room.</p>
      )}
      <Times field={field} thing={look} />
      <Ending show={show} kind="look" thing={look} />
    </Sheet>
  );
}
