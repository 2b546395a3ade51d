import { useState } from 'preact/hooks';
import { counted } from '../../../../node/core/words.ts';
import type { Show } from '../../../../node/show/document.ts';
import { as } from '../../parts/spoken.tsx';
import { waitsFor, want } from '../edits.ts';
import { Text } from '../inputs.tsx';
import { Mark } from './fields.tsx';
import { goTo, lightsAt, said } from './place.ts';
import { TakeOut } from './take-out.tsx';

type Group = Show['groups'][number];

/** The groups of a show, below its lights. */
export const Groups = ({ show: { groups } }: { readonly show: Show }) => (
  <>
    <h2>Groups</h2>
    {groups.length === 0 ? (
      <p class="quiet">There is none. Choose lights that belong together, and make a group of them.</p>
    ) : (
      <ul {...as.list} class="lights-groups">
        {groups.map(({ id, name, fixtures }) => (
          <li key={id}>
            <a href={lightsAt('group', id)}>
              <strong>{name}</strong>
              <span class="quiet">{counted(fixtures.length, 'light')}</span>
            </a>
          </li>
        ))}
      </ul>
    )}
  </>
);

/** One group: its name, and which lights are in it. */
export function GroupSheet({ group, show }: { readonly group: Group; readonly show: Show }) {
  const { id, name } = group;
  const field = { kind: 'group', id, field: 'fixtures' } as const;
  const own = (waitsFor(field)?.now ?? group.fixtures) as readonly string[];
  const put = (light: string, on: boolean): void =>
    want({ ...field, now: on ? [...own, light] : own.filter((one) => one !== light), gesture: `members-${id}` });
  // Those that were in it when it was opened stand first: what is ticked stays where it is.
  const [first] = useState(() => new Set(own));
  const lights = [...show.fixtures].sort((a, b) => Number(first.has(b.id)) - Number(first.has(a.id)));
  return (
    <section aria-labelledby="bench-group">
      <h1 id="bench-group" class="bench-title">
        {name}
      </h1>
      <Text kind="group" id={id} field="name" label="Name" value={name} />
      <h2>Lights in it</h2>
      {own.length === 0 && <p>There is none in it yet. Tick those that belong to it.</p>}
      <ul {...as.list} class="lights-members">
        {lights.map((light) => (
          <li key={light.id}>
            <Mark label={light.name} hint={light.use} value={own.includes(light.id)} onMark={(on) => put(light.id, on)} />
          </li>
        ))}
      </ul>
      <TakeOut
        show={show}
        gone={[{ kind: 'group', id }]}
        it="this group"
        label="Take the group out"
        done={() => {
          said.value = `The group “${name}” is taken out; its lights stay. One “Take back” brings it back.`;
          goTo();
        }}
      />
    </section>
  );
}
