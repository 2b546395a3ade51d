import { useState } from 'preact/hooks';
import { counted } from '../../../../node/core/words.ts';
import { firstUniverse } from '../../../../node/plan/patch/free-places.ts';
import type { AskedChange } from '../../../../node/show/change.ts';
import type { Show } from '../../../../node/show/document.ts';
import { Push } from '../../parts/push.tsx';
import { as } from '../../parts/spoken.tsx';
import { isOpen } from '../../state.ts';
import { change, idAfter, refusal } from '../edits.ts';
import { Typed } from '../typed.tsx';
import { useOptions } from './add.tsx';
import { PickOne, wholeNumber } from './fields.tsx';
import { adding, changing, duplicates, type Light, modeOf, moving, retyping, type Use } from './making.ts';
import { PickType } from './pick-type.tsx';
import { chooseOnly, chosenOf, goTo, lightsAt, said } from './place.ts';
import { TakeOut } from './take-out.tsx';
import { WhereItIs } from './where-it-is.tsx';
import { standsAt } from './words.ts';

/** Several lights at once. */
export function Chosen({ show }: { readonly show: Show }) {
  const lights = chosenOf(show);
  const [first, ...others] = lights;
  if (first === undefined)
    return (
      <section>
        <h1 class="bench-title">No light is chosen</h1>
        <a class="push" href={lightsAt()}>
          Choose some
        </a>
      </section>
    );
  const what = lights.length === 1 ? `“${first.name}”` : counted(lights.length, 'light');
  return (
    <section aria-labelledby="bench-chosen">
      <h1 id="bench-chosen" class="bench-title">
        {what}
      </h1>
      <details class="lights-who">
        <summary>Which ones</summary>
        <ul {...as.list}>
          {lights.map((one) => (
            <li key={one.id}>
              {one.name} <span class="quiet">{standsAt(one, show)}</span>
            </li>
          ))}
        </ul>
      </details>
      <Move show={show} lights={lights} />
      <Grouping show={show} lights={lights} />
      <WhereItIs lights={[first, ...others]} show={show} />
      <h2>What they are</h2>
      <PickOne
        label="What for"
        value={lights.every(({ use }) => use === first.use) ? first.use : ''}
        options={lights.every(({ use }) => use === first.use) ? useOptions : [{ value: '', name: 'several uses' }, ...useOptions]}
        onPick={(use) => use !== '' && void change(...lights.flatMap((one) => changing(one, { ...one, use: use as Use })))}
      />
      <Retype show={show} lights={lights} />
      <h2>More of them, or none</h2>
      <p class="bench-row">
        <Push disabled={!isOpen.value} onClick={() => void double(show, lights)}>
          Make another {lights.length === 1 ? 'like it' : `${lights.length} like them`}
        </Push>
      </p>
      <TakeOut
        show={show}
        gone={lights.map(({ id }) => ({ kind: 'fixture', id }))}
        it={lights.length === 1 ? 'it' : 'them'}
        label={`Take out ${what}`}
        done={() => {
          chooseOnly([]);
          said.value = `${what} taken out, and every word about ${lights.length === 1 ? 'it' : 'them'}. One “Take back” brings all back.`;
          goTo();
        }}
      />
    </section>
  );
}

async function double(show: Show, lights: readonly Light[]): Promise<void> {
  const more = duplicates(show, lights);
  if (more === undefined) refusal.value = NO_ROOM;
  else if (await change(...adding(more))) {
    chooseOnly(more.map(({ id }) => id));
    said.value = `${counted(more.length, 'light')} more, chosen now.`;
    goTo();
  }
}

const NO_ROOM = 'There is no room for so many from there on.';

/** Addresses one behind the other. */
function Move({ show, lights }: { readonly show: Show; readonly lights: readonly Light[] }) {
  const [universe, setUniverse] = useState(lights[0]?.universe ?? firstUniverse(show));
  const [address, setAddress] = useState(1);
  const [done, setDone] = useState('');
  const move = async (): Promise<void> => {
    const changes = moving(show, lights, { universe, address });
    if (changes === undefined) refusal.value = NO_ROOM;
    else if (changes.length === 0) setDone('They stand so already.');
    else if (await change(...changes)) setDone('Moved. Papers have the new addresses to set.');
  };
  return (
    <>
      <h2>Move them</h2>
      <p class="quiet">One behind the other from there on, in the order of the list. Slots of other lights are left to them.</p>
      <div class="lights-pair">
        <Typed
          label="From universe"
          numeric
          value={String(universe)}
          help="A number from 1 to 63999."
          onType={(text) => {
            const number = wholeNumber(text, 1, 63_999);
            if (number !== undefined) setUniverse(number);
            return number !== undefined;
          }}
        />
        <Typed
          label="Slot"
          numeric
          value={String(address)}
          help="A number from 1 to 512."
          onType={(text) => {
            const number = wholeNumber(text, 1, 512);
            if (number !== undefined) setAddress(number);
            return number !== undefined;
          }}
        />
      </div>
      <Push disabled={!isOpen.value} onClick={() => void move()}>
        Move them there
      </Push>
      <p class="quiet" role="status">
        {done}
      </p>
    </>
  );
}

/** A group of these, or these into a group. */
function Grouping({ show, lights }: { readonly show: Show; readonly lights: readonly Light[] }) {
  const ids = lights.map(({ id }) => id);
  const make = async (): Promise<void> => {
    const name = freeName(show);
    const id = idAfter(name, show.groups);
    const now = { id, name, fixtures: ids };
    if (await change({ do: 'add', kind: 'group', id, now })) goTo('group', id);
  };
  const into = (group: Show['groups'][number]): AskedChange => ({
    do: 'set',
    kind: 'group',
    id: group.id,
    field: 'fixtures',
    was: group.fixtures,
    now: [...group.fixtures, ...ids.filter((id) => !group.fixtures.includes(id))],
  });
  const lacking = show.groups.filter(({ fixtures }) => ids.some((id) => !fixtures.includes(id)));
  return (
    <>
      <h2>Groups</h2>
      <div class="bench-row">
        <Push disabled={!isOpen.value} onClick={() => void make()}>
          Make a group of {lights.length === 1 ? 'it' : 'them'}
        </Push>
        {lacking.length > 0 && (
          <PickOne
            label="Add to a group"
            value=""
            options={[{ value: '', name: 'Which one' }, ...lacking.map(({ id, name }) => ({ value: id, name }))]}
            onPick={(id) => {
              const group = lacking.find((one) => one.id === id);
              if (group !== undefined) void change(into(group));
            }}
          />
        )}
      </div>
    </>
  );
}

function freeName({ groups }: Show): string {
  for (let i = 1; ; i++) {
    const name = i === 1 ? 'New group' : `New group ${i}`;
    if (!groups.some((one) => one.name === name)) return name;
  }
}

/** All of another type, or in another mode. */
export function Retype({ show, lights }: { readonly show: Show; readonly lights: readonly Light[] }) {
  const [isOpen, setOpen] = useState(false);
  if (!isOpen) return <Push onClick={() => setOpen(true)}>Another kind of lamp, or another mode</Push>;
  return (
    <div class="lights-retype">
      <PickType
        show={show}
        onPick={({ type, mode }) => {
          setOpen(false);
          const to = {
            type: type.id,
            mode: mode.id,
            sizes: mode.sizes,
            is: modeOf({ type: type.id, mode: mode.id }, show.fixtureTypes),
          };
          const changes = retyping(show, lights, to);
          if (changes === undefined) refusal.value = NO_ROOM;
          else if (changes.length > 0) void change(...changes);
        }}
      />
      <Push onClick={() => setOpen(false)}>Leave it as it is</Push>
    </div>
  );
}
