import { useState } from 'preact/hooks';
import { type ItemKind, type ItemRef, itemKinds, type Show } from '../../../../node/show/document.ts';
import { listOf } from '../../../../node/show/things.ts';
import { Push } from '../../parts/push.tsx';
import { as } from '../../parts/spoken.tsx';
import { Chip } from '../inputs.tsx';
import { addressOfThing } from '../things/kinds.ts';
import { Playing } from '../things/playing.tsx';
import { isSameRef, itemName, refOf, refTo } from './evening-words.ts';

const kindWords: Readonly<Record<ItemKind, string>> = { look: 'Looks', chase: 'Chases', movement: 'Movements', hit: 'Hits' };
/** From this many on there is a field to find one by its name. */
const MANY = 12;

interface ChosenItemsProps {
  readonly title: string;
  /** Stands there while there is none. */
  readonly empty: string;
  readonly refs: readonly ItemRef[];
  readonly show: Show;
  readonly onChange: (refs: readonly ItemRef[]) => void;
}

/** What is started or let go, each by its name and a way to it; and the choice among all there is. */
export function ChosenItems({ title, empty, refs, show, onChange }: ChosenItemsProps) {
  const [isOpen, setOpen] = useState(false);
  const [sought, setSought] = useState('');
  const words = sought.trim().toLowerCase();
  const toggle = (ref: ItemRef): void =>
    onChange(refs.some((one) => isSameRef(one, ref)) ? refs.filter((one) => !isSameRef(one, ref)) : [...refs, ref]);
  const many = itemKinds.reduce((sum, kind) => sum + listOf(show, kind).length, 0) >= MANY;
  return (
    <section class="evening-items" aria-label={title}>
      <h2>{title}</h2>
      {refs.length === 0 && <p class="quiet">{empty}</p>}
      <ul {...as.list}>
        {refs.map((ref) => {
          const { kind, id } = refOf(ref);
          return (
            <li key={`${kind}:${id}`}>
              <a href={addressOfThing(kind, id)}>
                <strong>{itemName(ref, show)}</strong> <span class="quiet">{kind}</span> <Playing item={`${kind}:${id}`} />
              </a>
              <Push label={`Take out ${itemName(ref, show)}`} onClick={() => toggle(ref)}>
                Take out
              </Push>
            </li>
          );
        })}
      </ul>
      <Push label={`${isOpen ? 'Done choosing' : 'Choose'}: ${title.toLowerCase()}`} onClick={() => setOpen(!isOpen)}>
        {isOpen ? 'Done choosing' : 'Choose'}
      </Push>
      {isOpen && many && (
        <input
          type="search"
          aria-label="Find one by its name"
          placeholder="Find one by its name"
          value={sought}
          onInput={({ currentTarget }) => setSought(currentTarget.value)}
        />
      )}
      {isOpen &&
        itemKinds.map((kind) => {
          const found = listOf(show, kind).filter(({ name }) => name.toLowerCase().includes(words));
          return found.length === 0 ? null : (
            <fieldset key={kind}>
              <legend>{kindWords[kind]}</legend>
              {found.map(({ id, name }) => (
                <Chip
                  key={id}
                  label={name}
                  isChosen={refs.some((one) => isSameRef(one, refTo(kind, id)))}
                  onChange={() => toggle(refTo(kind, id))}
                />
              ))}
            </fieldset>
          );
        })}
    </section>
  );
}
