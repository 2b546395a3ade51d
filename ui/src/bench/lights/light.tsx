import type { Show } from '../../../../node/show/document.ts';
import { Push } from '../../parts/push.tsx';
import { as } from '../../parts/spoken.tsx';
import { addressOf } from '../../route.ts';
import { isOpen } from '../../state.ts';
import { draft } from '../draft.ts';
import { change, refusal, waitsFor, want } from '../edits.ts';
import { Text } from '../inputs.tsx';
import { useOptions } from './add.tsx';
import { Adjust } from './adjust.tsx';
import { Retype } from './chosen.tsx';
import { PickOne, wholeNumber } from './fields.tsx';
import { adding, duplicates, type Light, mending, modeOf } from './making.ts';
import { chooseOnly, goTo, lightsAt, said } from './place.ts';
import { TakeOut } from './take-out.tsx';
import { WhereItIs } from './where-it-is.tsx';
import { faultsOfLight, isOfAddress, typeInWords } from './words.ts';

/** One light, open to be changed. */
export function LightSheet({ light, show }: { readonly light: Light; readonly show: Show }) {
  const { id, name } = light;
  const field = { kind: 'fixture', id } as const;
  const use = (waitsFor({ ...field, field: 'use' })?.now ?? light.use) as string;
  return (
    <section aria-labelledby="bench-light">
      <h1 id="bench-light" class="bench-title">
        {name}
      </h1>
      <Amiss light={light} show={show} />
      <div class="lights-form">
        <Text {...field} field="name" label="Name" value={name} />
        <PickOne label="What for" value={use} options={useOptions} onPick={(now) => want({ ...field, field: 'use', now })} />
      </div>
      <p>
        {typeInWords(light, show)}
        {show.fixtureTypes.some((type) => type.id === light.type) && (
          <>
            {' '}
            <a href={lightsAt('type', light.type)} class="push lights-inline">
              Its channels
            </a>
          </>
        )}
      </p>
      <Retype show={show} lights={[light]} />
      <h2>Address</h2>
      <Addresses light={light} />
      <WhereItIs lights={[light]} show={show} />
      <p>
        <a class="push" href={addressOf('papers')}>
          Its switches: Papers
        </a>
      </p>
      <Adjust light={light} mode={modeOf(light, show.fixtureTypes)} />
      <InGroups light={light} show={show} />
      <div class="bench-row">
        <Push disabled={!isOpen.value} onClick={() => void another(light, show)}>
          Make another like it
        </Push>
      </div>
      <TakeOut
        show={show}
        gone={[{ kind: 'fixture', id }]}
        it="it"
        label={`Take out ${name}`}
        done={() => {
          said.value = `“${name}” is taken out, and every word about it. One “Take back” brings all back.`;
          goTo();
        }}
      />
    </section>
  );
}

/** What keeps this light from being played, and the way out where one press is enough. */
function Amiss({ light, show }: { readonly light: Light; readonly show: Show }) {
  const amiss = faultsOfLight(draft.value?.faults ?? [], light.id);
  if (amiss.length === 0) return null;
  const mend = (): void => {
    const changes = mending(show)?.filter(({ id }) => id === light.id);
    if (changes === undefined) refusal.value = 'There is no room left in any universe.';
    else if (changes.length > 0) void change(...changes);
  };
  return (
    <div class="trouble urgent">
      {amiss.map(({ path, message }) => (
        <p key={`${path} ${message}`}>{message}</p>
      ))}
      {amiss.some(isOfAddress) && (
        <Push kind="main" onClick={mend}>
          Give it a free address
        </Push>
      )}
    </div>
  );
}

/** Universe and first slot; of a lamp with several start addresses each of them. */
function Addresses({ light }: { readonly light: Light }) {
  const field = { kind: 'fixture', id: light.id } as const;
  const further = (waitsFor({ ...field, field: 'further' })?.now ?? light.further ?? []) as NonNullable<Light['further']>;
  const withStart = (at: number, what: 'universe' | 'address', text: string, most: number) => {
    const number = wholeNumber(text, 1, most);
    return number && further.map((one, i) => (i === at ? { ...one, [what]: number } : one));
  };
  return (
    <>
      <div class="lights-pair">
        <Text
          {...field}
          field="universe"
          label="Universe"
          value={String(light.universe ?? '')}
          read={(text) => wholeNumber(text, 1, 63_999)}
          help="A number from 1 to 63999."
        />
        <Text
          {...field}
          field="address"
          label="First slot"
          value={String(light.address ?? '')}
          read={(text) => wholeNumber(text, 1, 512)}
          help="A number from 1 to 512."
        />
      </div>
      {further.map((start, i) => (
        <div class="lights-pair" key={i}>
          <Text
            {...field}
            field="further"
            label={`Universe of address ${i + 2}`}
            value={String(start.universe)}
            read={(text) => withStart(i, 'universe', text, 63_999)}
            help="A number from 1 to 63999."
          />
          <Text
            {...field}
            field="further"
            label={`First slot of address ${i + 2}`}
            value={String(start.address)}
            read={(text) => withStart(i, 'address', text, 512)}
            help="A number from 1 to 512."
          />
        </div>
      ))}
    </>
  );
}

const InGroups = ({ light, show: { groups } }: { readonly light: Light; readonly show: Show }) => {
  const own = groups.filter(({ fixtures }) => fixtures.includes(light.id));
  if (own.length === 0) return null;
  return (
    <>
      <h2>Groups that it is in</h2>
      <ul {...as.list} class="lights-groups">
        {own.map(({ id, name }) => (
          <li key={id}>
            <a href={lightsAt('group', id)}>
              <strong>{name}</strong>
            </a>
          </li>
        ))}
      </ul>
    </>
  );
};

async function another(light: Light, show: Show): Promise<void> {
  const [copy] = duplicates(show, [light]) ?? [];
  if (copy === undefined) {
    refusal.value = 'There is no room left in any universe.';
    return;
  }
  if (!(await change(...adding([copy])))) return;
  chooseOnly([]);
  goTo('light', copy.id);
}
