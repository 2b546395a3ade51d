import type { Button, ItemRef, Show } from '../../../../node/show/document.ts';
import { Push } from '../../parts/push.tsx';
import { waitsFor, want } from '../edits.ts';
import { Chip, Text, Tick } from '../inputs.tsx';
import { Sheet } from '../sheet.tsx';
import { Ending } from '../things/ending.tsx';
import { Playing } from '../things/playing.tsx';
import { ChosenItems } from './choose-items.tsx';
import { doesInWords, proposedLine } from './evening-words.ts';

/** One button, open to be changed. */
export function ButtonSheet({ button, show }: { readonly button: Button; readonly show: Show }) {
  const field = { kind: 'button', id: button.id } as const;
  const starts = (waitsFor({ ...field, field: 'starts' })?.now ?? button.starts) as readonly ItemRef[];
  const stops = (waitsFor({ ...field, field: 'stops' })?.now ?? button.stops) as readonly ItemRef[];
  const alone = (waitsFor({ ...field, field: 'alone' })?.now ?? button.alone) as boolean;
  const line = (waitsFor({ ...field, field: 'line' })?.now ?? button.line) as string;
  const proposed = proposedLine({ starts }, show);
  return (
    <Sheet name={button.name} act={<Playing button={button.id} />}>
      <p class="evening-does">{doesInWords({ starts, stops, alone }, show)}</p>
      <div class="bench-row">
        <Text {...field} field="name" label="Name" value={button.name} />
      </div>
      <div class="bench-row">
        <Text
          {...field}
          field="line"
          label="The line under it: what guests will see"
          value={line}
          read={(text) => text}
          most={120}
        />
      </div>
      {proposed !== '' && proposed !== line && (
        <div class="evening-proposed">
          <p class="quiet">From what it starts: “{proposed}”</p>
          <Push onClick={() => want({ ...field, field: 'line', now: proposed })}>
            {line === '' ? 'Use this line' : 'Use this instead'}
          </Push>
        </div>
      )}
      <ChosenItems
        title="Starts"
        empty="It starts nothing yet: choose what it starts."
        refs={starts}
        show={show}
        onChange={(refs) => want({ ...field, field: 'starts', now: refs })}
      />
      <div class="choices">
        <Tick
          {...field}
          field="alone"
          label="A scene of its own"
          hint="whatever else plays on its lights is let go, but for what stays underneath"
          value={button.alone}
        />
      </div>
      <ChosenItems
        title="Lets go of"
        empty="Nothing by name."
        refs={stops}
        show={show}
        onChange={(refs) => want({ ...field, field: 'stops', now: refs })}
      />
      {show.moments.length > 0 && <InMoments button={button} show={show} />}
      <Ending show={show} kind="button" thing={button} />
    </Sheet>
  );
}

/** The moments on whose page it is. */
function InMoments({ button, show }: { readonly button: Button; readonly show: Show }) {
  return (
    <fieldset>
      <legend>In which moments</legend>
      {show.moments.map((moment) => {
        const field = { kind: 'moment', id: moment.id, field: 'buttons' } as const;
        const buttons = (waitsFor(field)?.now ?? moment.buttons) as readonly string[];
        const isIn = buttons.includes(button.id);
        const next = isIn ? buttons.filter((id) => id !== button.id) : [...buttons, button.id];
        return <Chip key={moment.id} label={moment.name} isChosen={isIn} onChange={() => want({ ...field, now: next })} />;
      })}
    </fieldset>
  );
}
