import { useState } from 'preact/hooks';
import type { ItemRef, Show } from '../../../../node/show/document.ts';
import { useFocusThatFollows } from '../../parts/keep-focus.ts';
import { Order } from '../../parts/order.tsx';
import { Push } from '../../parts/push.tsx';
import { as } from '../../parts/spoken.tsx';
import { readTimeOfDay } from '../amounts.ts';
import { waitsFor, want } from '../edits.ts';
import { Chip, Text, Tick } from '../inputs.tsx';
import { Sheet } from '../sheet.tsx';
import { Ending } from '../things/ending.tsx';
import { addressOfThing } from '../things/kinds.ts';
import { ChosenItems } from './choose-items.tsx';
import { beginsInWords } from './evening-words.ts';
import { clockInWords } from './time.ts';

type Moment = Show['moments'][number];

/** One moment of the evening, open to be changed. */
export function MomentSheet({ moment, show }: { readonly moment: Moment; readonly show: Show }) {
  const field = { kind: 'moment', id: moment.id } as const;
  const refs = (name: 'starts' | 'stops'): readonly ItemRef[] =>
    (waitsFor({ ...field, field: name })?.now ?? moment[name]) as readonly ItemRef[];
  const alone = (waitsFor({ ...field, field: 'alone' })?.now ?? moment.alone) === true;
  return (
    <Sheet name={moment.name}>
      <p class="evening-does">
        {moment.at === undefined ? 'Whenever it comes' : `At ${clockInWords(moment.at)}`}.{' '}
        {beginsInWords({ starts: refs('starts'), stops: refs('stops'), alone }, show)}
      </p>
      <div class="bench-row">
        <Text {...field} field="name" label="Name" value={moment.name} />
        <Text
          {...field}
          field="at"
          label="Time of day"
          value={moment.at === undefined ? '' : clockInWords(moment.at)}
          read={readTimeOfDay}
          help="A time such as 9:30 pm, 21:30 or noon."
          isOptional
          hint="Empty: whenever it comes."
        />
      </div>
      <div class="choices">
        <Tick
          {...field}
          field="automatic"
          label="Begins by itself at its time"
          hint="once, unless it or a later moment was begun before; with nobody at a phone only what may run alone comes"
          value={moment.automatic ?? false}
        />
      </div>
      <Text
        {...field}
        field="notes"
        label="Notes"
        value={moment.notes ?? ''}
        isOptional
        hint="For whoever plays: Tonight shows them with the moment."
      />
      <MomentButtons moment={moment} show={show} />
      <ChosenItems
        title="Begins with it"
        empty="Nothing by itself."
        refs={refs('starts')}
        show={show}
        onChange={(now) => want({ ...field, field: 'starts', now })}
      />
      <div class="choices">
        <Tick
          {...field}
          field="alone"
          label="A scene of its own"
          hint="whatever else plays on its lights is let go, but for what stays underneath"
          value={moment.alone ?? false}
        />
      </div>
      <ChosenItems
        title="Goes with it"
        empty="Nothing by itself."
        refs={refs('stops')}
        show={show}
        onChange={(now) => want({ ...field, field: 'stops', now })}
      />
      <Ending show={show} kind="moment" thing={moment} />
    </Sheet>
  );
}

/** The buttons of a moment, in the order in which they lie under the thumb. */
function MomentButtons({ moment, show }: { readonly moment: Moment; readonly show: Show }) {
  const [isOpen, setOpen] = useState(false);
  const field = { kind: 'moment', id: moment.id, field: 'buttons' } as const;
  const buttons = (waitsFor(field)?.now ?? moment.buttons) as readonly string[];
  const set = (now: readonly string[]): void => want({ ...field, now });
  const nameOf = (id: string): string => show.buttons.find((one) => one.id === id)?.name ?? `${id}, which is gone`;
  const follow = useFocusThatFollows();
  const swap = (at: number, by: -1 | 1, mark: string): void => {
    follow(mark);
    const [own, other] = [buttons[at], buttons[at + by]];
    if (own !== undefined && other !== undefined) set(buttons.map((id, i) => (i === at ? other : i === at + by ? own : id)));
  };
  return (
    <section class="evening-items" aria-label="Buttons">
      <h2>Buttons</h2>
      {buttons.length === 0 && <p class="quiet">None yet: Tonight shows no page for it.</p>}
      <ol {...as.list}>
        {buttons.map((id, at) => (
          <li key={id}>
            <a href={addressOfThing('button', id)}>
              <strong>{nameOf(id)}</strong>
            </a>
            <div class="evening-order">
              <Order name={nameOf(id)} mark={id} at={at} count={buttons.length} onMove={swap} />
              <Push label={`Take out ${nameOf(id)}`} onClick={() => set(buttons.filter((one) => one !== id))}>
                Take out
              </Push>
            </div>
          </li>
        ))}
      </ol>
      <Push label={isOpen ? 'Done choosing' : 'Choose buttons'} onClick={() => setOpen(!isOpen)}>
        {isOpen ? 'Done choosing' : 'Choose buttons'}
      </Push>
      {isOpen && (
        <fieldset>
          <legend>Buttons of this moment</legend>
          {show.buttons.map(({ id, name }) => (
            <Chip
              key={id}
              label={name}
              isChosen={buttons.includes(id)}
              onChange={() => set(buttons.includes(id) ? buttons.filter((one) => one !== id) : [...buttons, id])}
            />
          ))}
        </fieldset>
      )}
    </section>
  );
}
