import { signal } from '@preact/signals';
import { counted } from '../../../../node/core/words.ts';
import type { Show } from '../../../../node/show/document.ts';
import { Push } from '../../parts/push.tsx';
import { as } from '../../parts/spoken.tsx';
import { addressOf } from '../../route.ts';
import { draft } from '../draft.ts';
import { change, refusal } from '../edits.ts';
import { Groups } from './group.tsx';
import { type Light, mending } from './making.ts';
import { choose, chosen, chosenOf, lightsAt, said } from './place.ts';
import { OwnTypes } from './type.tsx';
import { clashesOfLight, findLights, isOfAddress, standsAt, typeInWords } from './words.ts';

const sought = signal('');

/** All lights, by name. */
export function LightList({ show }: { readonly show: Show }) {
  const { fixtures } = show;
  if (fixtures.length === 0) return <Empty show={show} />;
  const found = findLights(show, sought.value);
  const own = chosenOf(show);
  const ids = found.map(({ id }) => id);
  const allChosen = found.length > 0 && ids.every((id) => chosen.value.has(id));
  return (
    <section aria-labelledby="bench-lights">
      <header class="lights-head">
        <h1 id="bench-lights" class="bench-title">
          Lights
        </h1>
        <a class="push main" href={lightsAt('add')}>
          Add lights
        </a>
      </header>
      <p class="quiet lights-said" role="status">
        {said.value}
      </p>
      <Mend show={show} />
      {show.looks.length === 0 && <NextStep />}
      {fixtures.length > 8 && (
        <search>
          <input
            type="search"
            aria-label="Find a light"
            placeholder="Find a light by name, use, type or address"
            value={sought.value}
            onInput={({ currentTarget }) => (sought.value = currentTarget.value)}
          />
        </search>
      )}
      {fixtures.length > 1 && (
        <div class="lights-all">
          <p class="quiet" role="status">
            {found.length === fixtures.length ? counted(fixtures.length, 'light') : `${found.length} of ${fixtures.length} lights`}
          </p>
          <Push disabled={found.length === 0} onClick={() => choose(ids, !allChosen)}>
            {allChosen ? 'Choose none of these' : `Choose ${found.length === fixtures.length ? 'all' : `these ${found.length}`}`}
          </Push>
        </div>
      )}
      <ul {...as.list} class="lights-list">
        {found.map((light) => (
          <Row key={light.id} light={light} show={show} />
        ))}
      </ul>
      {own.length > 0 && (
        <div class="lights-chosen">
          <a class="push main" href={lightsAt('chosen')}>
            Change the {counted(own.length, 'chosen light')}
          </a>
          <Push
            label="Choose no light"
            onClick={() => {
              chosen.value = new Set();
            }}
          >
            None
          </Push>
        </div>
      )}
      <Groups show={show} />
      <OwnTypes show={show} />
      <p>
        <a class="push" href={addressOf('papers')}>
          Address switches and labels: Papers
        </a>
      </p>
    </section>
  );
}

function Row({ light, show }: { readonly light: Light; readonly show: Show }) {
  const { id, name, use } = light;
  const amiss = clashesOfLight(draft.value?.faults ?? [], light);
  const at = standsAt(light, show);
  return (
    <li class={amiss.length > 0 ? 'amiss' : undefined}>
      <label class="lights-box">
        <input
          type="checkbox"
          checked={chosen.value.has(id)}
          onChange={({ currentTarget }) => choose([id], currentTarget.checked)}
        />
        <span class="spoken">Choose {name}</span>
      </label>
      <a class="lights-row" href={lightsAt('light', id)}>
        <strong>{name}</strong>
        <span class="lights-at">{at === '' ? 'no address' : at}</span>
        <small>
          {use}, {typeInWords(light, show)}
        </small>
        {amiss.map(({ path, message }) => (
          <em key={`${path} ${message}`}>{message}</em>
        ))}
      </a>
    </li>
  );
}

/** Clashes are said on the lights themselves; here they are mended all at once. */
function Mend({ show }: { readonly show: Show }) {
  const amiss = new Set((draft.value?.faults ?? []).filter(isOfAddress).map(({ id }) => id));
  if (amiss.size === 0) return null;
  const mend = async (): Promise<void> => {
    const changes = mending(show);
    if (changes === undefined) refusal.value = 'There is no room left in any universe.';
    else if (changes.length > 0 && (await change(...changes)))
      said.value = `${counted(new Set(changes.map(({ id }) => id)).size, 'light')} got a free address. The others stay where they were.`;
  };
  return (
    <div class="trouble urgent">
      <p>
        {counted(amiss.size, 'light')} {amiss.size === 1 ? 'has' : 'have'} no slots of {amiss.size === 1 ? 'its' : 'their'} own.
      </p>
      <Push kind="main" onClick={() => void mend()}>
        Give them free addresses
      </Push>
    </div>
  );
}

const NextStep = () => (
  <p class="lights-next">
    <span>Next comes a look: what these lights shall do.</span>
    <a class="push" href={addressOf('bench', 'looks')}>
      Make a look
    </a>
  </p>
);

/** What to do first. */
const Empty = ({ show }: { readonly show: Show }) => (
  <section aria-labelledby="bench-lights">
    <h1 id="bench-lights" class="bench-title">
      Lights
    </h1>
    <p>There is no light in this show yet. First say which lamps you bring: what kind they are, how many, and what they are for.</p>
    <p>Duskhand gives each of them an address, which you then set on the lamp.</p>
    <p class="quiet lights-said" role="status">
      {said.value}
    </p>
    <p>
      <a class="push main" href={lightsAt('add')}>
        Add lights
      </a>
    </p>
    <OwnTypes show={show} />
  </section>
);
