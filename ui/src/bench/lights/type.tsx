import { useState } from 'preact/hooks';
import { counted } from '../../../../node/core/words.ts';
import { type FixtureType, footprint } from '../../../../node/rig/fixture-type.ts';
import { isDriven, NEEDS_OWN_STOP } from '../../../../node/rig/laser.ts';
import { library } from '../../../../node/rig/library.ts';
import { factsOf } from '../../../../node/rig/type-facts.ts';
import type { Show } from '../../../../node/show/document.ts';
import { Push } from '../../parts/push.tsx';
import { as } from '../../parts/spoken.tsx';
import { isOpen } from '../../state.ts';
import { change, idAfter, waitsFor, want } from '../edits.ts';
import { Text } from '../inputs.tsx';
import { Typed } from '../typed.tsx';
import { Channels } from './channels.tsx';
import { Mark } from './fields.tsx';
import { Left } from './file.tsx';
import { goTo, lightsAt, said } from './place.ts';
import { readTable } from './read-table.ts';
import { Table } from './table.tsx';
import { TestLamp } from './test-lamp.tsx';
import { plainChannel, wholeModes } from './type-form.ts';

type TypedChannels = FixtureType['modes'][number]['channels'];

/** The kinds of lamp that a show brings along, below its lights. */
export const OwnTypes = ({ show: { fixtureTypes, fixtures } }: { readonly show: Show }) =>
  fixtureTypes.length === 0 ? null : (
    <>
      <h2>Kinds of lamp of this show’s own</h2>
      <ul {...as.list} class="lights-groups">
        {fixtureTypes.map(({ id, name, source }) => (
          <li key={id}>
            <a href={lightsAt('type', id)}>
              <strong>{name}</strong>
              <span class="quiet">
                {source === undefined ? 'typed in' : 'from a file'},{' '}
                {counted(fixtures.filter(({ type }) => type === id).length, 'light')}
              </span>
            </a>
          </li>
        ))}
      </ul>
    </>
  );

/** A kind of lamp of one's own, with one channel to begin with; it is open then. */
export async function newOwnType(show: Show): Promise<void> {
  const name = 'Lamp of our own';
  const id = freeId(name, show);
  const modes = [{ id: 'own', name: '1 channel', channels: [plainChannel(1, 'Dimmer')] }];
  if (await change({ do: 'add', kind: 'fixtureType', id, now: { id, name, modes } })) goTo('type', id);
}

/** A kind of the library as one of one's own, to be changed: lamps of one kind differ by their tables. */
export async function copyOfType(show: Show, of: string): Promise<void> {
  const type = library.get(of);
  if (type === undefined) return;
  const name = `${type.name.slice(0, 68)}, our own`;
  const id = freeId(name, show);
  if (await change({ do: 'add', kind: 'fixtureType', id, now: { ...type, id, name } })) goTo('type', id);
}

/** No id of the library either: it would stand in the place of that one. */
const freeId = (name: string, { fixtureTypes }: Show): string => idAfter(name, [...fixtureTypes, ...library.values()]);

/** One kind of lamp: its table of channels where it was typed in, what its file says where it comes from one. */
export function TypeSheet({ type, show }: { readonly type: FixtureType; readonly show: Show }) {
  const { id, name, source } = type;
  const used = show.fixtures.filter((one) => one.type === id).length;
  return (
    <section aria-labelledby="bench-type">
      <h1 id="bench-type" class="bench-title">
        {name}
      </h1>
      {source === undefined ? <Form type={type} show={show} /> : <FromFile type={type} />}
      <p>
        <a class="push main" href={lightsAt('add')}>
          Add lights of this kind
        </a>
      </p>
      <p class="quiet">
        {used === 0
          ? 'No light is of this kind.'
          : `${counted(used, 'light')} of this show ${used === 1 ? 'is' : 'are'} of this kind.`}
      </p>
      {used === 0 && (
        <Push
          disabled={!isOpen.value}
          onClick={() => {
            void change({ do: 'drop', kind: 'fixtureType', id, was: type }).then((done) => {
              if (!done) return;
              said.value = `“${name}” is taken out. One “Take back” brings it back.`;
              goTo();
            });
          }}
        >
          Take this kind out
        </Push>
      )}
    </section>
  );
}

const FromFile = ({ type }: { readonly type: FixtureType }) => (
  <>
    <p>
      {counted(type.modes.length, 'mode')}: {type.modes.map((mode) => `${mode.name} (${footprint(mode)})`).join('; ')}
    </p>
    <dl class="lights-facts">
      {factsOf(type).map(({ what, value }) => (
        <div key={what}>
          <dt>{what}</dt>
          <dd>{value}</dd>
        </div>
      ))}
    </dl>
    <Left left={type.source?.left ?? []} />
    <Channels type={type} />
  </>
);

function Form({ type, show }: { readonly type: FixtureType; readonly show: Show }) {
  const { id } = type;
  const field = { kind: 'fixtureType', id } as const;
  const modes = (waitsFor({ ...field, field: 'modes' })?.now ?? type.modes) as FixtureType['modes'];
  const wheels = (waitsFor({ ...field, field: 'wheels' })?.now ?? type.wheels) as FixtureType['wheels'];
  const kind = waitsFor({ ...field, field: 'kind' });
  const isLaser = (kind === undefined ? type.kind : kind.now) === 'laser';
  const [at, setAt] = useState(0);
  const mode = modes[at] ?? modes[0];
  if (mode === undefined) return null;
  const putModes = (next: FixtureType['modes'], gesture?: string): void =>
    want({ ...field, field: 'modes', now: next, ...(gesture === undefined ? {} : { gesture }) });
  const another = (): void => {
    const copy = { ...mode, id: idAfter('own', modes), name: `${mode.name}, another`.slice(0, 80) };
    putModes([...modes, copy]);
    setAt(modes.length);
  };
  const isUsed = show.fixtures.some((one) => one.type === id && one.mode === mode.id);
  return (
    <>
      <div class="lights-form">
        <Text {...field} field="name" label="Name" value={type.name} />
        <Typed
          label="Maker, if you like"
          value={type.maker ?? ''}
          help=""
          onType={(text) => {
            want({ ...field, field: 'maker', now: text.trim() || undefined, gesture: `maker-${id}` });
            return true;
          }}
        />
      </div>
      <Mark
        label="It sends out laser light"
        hint="then it is armed by hand for each night, and goes out with the blackout"
        value={isLaser}
        onMark={(on) => want({ ...field, field: 'kind', now: on ? 'laser' : undefined })}
      />
      {isLaser && (
        <p class="trouble urgent">
          Laser light can blind for good. Permits, the maker’s manual, the venue and trained people come first; never into eyes.
          {!isDriven({ type: { kind: 'laser' }, mode }) && ` As it stands ${NEEDS_OWN_STOP}.`}
        </p>
      )}
      <TestLamp type={type.name} />
      <h2>Channels</h2>
      {modes.length > 1 && (
        <div class="lights-modes">
          {modes.map((one, i) => (
            <Push key={one.id} pressed={one === mode} onClick={() => setAt(i)}>
              {one.name}
            </Push>
          ))}
        </div>
      )}
      <div class="bench-row">
        <Typed
          label="This mode is called"
          value={mode.name}
          help="It needs a name."
          onType={(text) => {
            if (text.trim() === '') return false;
            putModes(
              modes.map((one) => (one === mode ? { ...one, name: text.trim() } : one)),
              `mode-${mode.id}`,
            );
            return true;
          }}
        />
        <Push onClick={another}>Another mode</Push>
        {modes.length > 1 && !isUsed && (
          <Push
            onClick={() => {
              putModes(modes.filter((one) => one !== mode));
              setAt(0);
            }}
          >
            Take this mode out
          </Push>
        )}
      </div>
      <WholeList
        key={`list ${mode.id}`}
        isOpen={mode.channels.length === 1}
        onRead={(channels) =>
          putModes(
            modes.map((one) =>
              one === mode ? { ...one, name: counted(footprint({ ...one, channels }), 'channel'), channels } : one,
            ),
          )
        }
      />
      <Table
        key={mode.id}
        type={{ ...type, wheels }}
        mode={mode}
        onChange={(next, ownWheels) => {
          const gesture = `table-${mode.id}`;
          if (ownWheels !== undefined) want({ ...field, field: 'wheels', now: ownWheels, gesture });
          putModes(
            modes.map((one) => (one === mode ? next : one)),
            gesture,
          );
        }}
      />
    </>
  );
}

/** The list of a manual, written or copied as it is. */
function WholeList({ isOpen: first, onRead }: { readonly isOpen: boolean; readonly onRead: (channels: TypedChannels) => void }) {
  const [text, setText] = useState('');
  const [trouble, setTrouble] = useState<string | undefined>(undefined);
  const [isShown] = useState(first);
  const read = (): void => {
    const channels = readTable(text);
    const whole = typeof channels === 'string' ? channels : wholeModes([{ id: 'own', name: 'Own', channels }]);
    setTrouble(typeof whole === 'string' ? whole : undefined);
    if (typeof whole !== 'string' && whole[0] !== undefined) onRead(whole[0].channels);
  };
  return (
    <details class="lights-whole" open={isShown}>
      <summary>Write the whole list at once</summary>
      <label class="bench-field">
        <span>The channels as the manual has them, one a line</span>
        <textarea rows={6} value={text} placeholder={EXAMPLE} onInput={({ currentTarget }) => setText(currentTarget.value)} />
        <small role="status">{trouble ?? 'What is not understood is kept by its name and left at rest.'}</small>
      </label>
      <Push disabled={text.trim() === ''} onClick={read}>
        Make the table of it
      </Push>
    </details>
  );
}

const EXAMPLE = '1 Dimmer\n2 Red\n3 Green\n4 Blue\n5 Strobe';
