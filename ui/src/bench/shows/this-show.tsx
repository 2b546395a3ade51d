import { useEffect, useId, useRef, useState } from 'preact/hooks';
import './this-show.css';
import { type ItemRef, itemKey, LONGEST_REST, type Show } from '../../../../node/show/document.ts';
import { Push } from '../../parts/push.tsx';
import { as } from '../../parts/spoken.tsx';
import { waitsFor, want } from '../edits.ts';
import { Pull, Text, Tick } from '../inputs.tsx';
import type { PageProps } from '../page.ts';
import { readCountdown, readRest, readSilence, readTempo, secondsInWords } from '../written.ts';

type Watch = Show['remoteWatch'];
type Masters = Show['masters'];

/** What is wanted of a field of the show, or stands there. */
const now = <Value,>(show: Show, field: string, stands: Value): Value =>
  (waitsFor({ kind: 'show', id: show.id, field })?.now as Value | undefined) ?? stands;

/** What the show says once: its name, what it starts with, and what it does when nobody is there. */
export function ThisShow({ show }: PageProps) {
  const field = { kind: 'show', id: show.id } as const;
  const watch = now<Watch>(show, 'remoteWatch', show.remoteWatch);
  const setWatch = (part: Partial<Watch>): Watch => ({ ...watch, ...part });
  return (
    <section class="this-show" aria-labelledby="bench-show">
      <h1 id="bench-show" class="bench-title">
        This show
      </h1>
      <div class="bench-row">
        <Text {...field} field="name" label="Name" value={show.name} />
        <Text
          {...field}
          field="tempo"
          label="Tempo, until somebody taps another"
          value={`${show.tempo} beats a minute`}
          read={readTempo}
          help="Beats a minute, from 20 to 300."
        />
      </div>
      <Notes show={show} />
      <div class="choices">
        <Tick {...field} field="demo" label="Invented" hint="to try things out with, no real event" value={show.demo} />
      </div>
      <Start show={show} />
      <FreshMasters show={show} />
      <Fallback show={show} />
      <h2>Beams where guests look</h2>
      <p class="quiet">
        A beam that rests where eyes may be is dimmed softly, and comes back when it moves on. What a look means to rest somewhere
        is let be. Nothing here makes a beam harmless: keep to the maker’s distances, and off what guests look into for long.
      </p>
      <Text
        {...field}
        field="mayRest"
        label="A beam may rest there for"
        value={secondsInWords(show.mayRest)}
        read={readRest}
        help={`From 1 s to ${LONGEST_REST} s.`}
      />
      <h2>How long it waits for a phone</h2>
      <p class="quiet">A phone that locks itself falls silent. After that time the others are warned, and then the above comes.</p>
      <div class="bench-row">
        <Text
          {...field}
          field="remoteWatch"
          label="A phone may be silent for"
          value={secondsInWords(watch.allow)}
          read={(text) => read(readSilence(text), (allow) => setWatch({ allow }))}
          help="From 5 s to 10 min."
        />
        <Text
          {...field}
          field="remoteWatch"
          label="Then a warning for"
          value={secondsInWords(watch.countdown)}
          read={(text) => read(readCountdown(text), (countdown) => setWatch({ countdown }))}
          help="From 5 s to 2 min."
        />
      </div>
    </section>
  );
}

const read = <Value,>(seconds: number | undefined, make: (seconds: number) => Value): Value | undefined =>
  seconds === undefined ? undefined : make(seconds);

/** Several lines, sent as they are typed. */
function Notes({ show }: { readonly show: Show }) {
  const [typed, setTyped] = useState<string | undefined>(undefined);
  const gesture = useRef('');
  const own = useId();
  return (
    <div class="bench-field this-show-notes">
      <label for={own}>Notes</label>
      <textarea
        id={own}
        rows={4}
        maxLength={10_000}
        value={typed ?? now(show, 'notes', show.notes)}
        onFocus={() => (gesture.current = `notes-${Date.now()}`)}
        onInput={({ currentTarget: { value } }) => {
          setTyped(value);
          want({ kind: 'show', id: show.id, field: 'notes', now: value, gesture: gesture.current });
        }}
        onBlur={() => setTyped(undefined)}
      />
    </div>
  );
}

/** All that can be started and goes on by itself, by its kind. */
const startable = (show: Show): readonly { readonly name: string; readonly items: readonly Named[] }[] =>
  [
    { name: 'Looks', items: show.looks.map(({ id, name }) => ({ key: `look:${id}`, name })) },
    { name: 'Chases', items: show.chases.map(({ id, name }) => ({ key: `chase:${id}`, name })) },
    { name: 'Movements', items: show.movements.map(({ id, name }) => ({ key: `movement:${id}`, name })) },
  ].filter(({ items }) => items.length > 0);

interface Named {
  readonly key: string;
  readonly name: string;
}

/** `look:dinner`, as {@link itemKey} writes it, taken apart again. */
function refOf(key: string): ItemRef {
  const [kind = '', id = ''] = key.split(':');
  return { [kind]: id } as ItemRef;
}

function Start({ show }: { readonly show: Show }) {
  const starts = now<readonly ItemRef[]>(show, 'start', show.start);
  const set = (next: readonly ItemRef[]): void => want({ kind: 'show', id: show.id, field: 'start', now: next });
  const all = startable(show);
  const keys: readonly string[] = starts.map(itemKey);
  const nameOf = (key: string): string =>
    all.flatMap(({ items }) => items).find((one) => one.key === key)?.name ?? `${key}, which is not there`;
  return (
    <section id={`show-${show.id}`} aria-labelledby="show-start">
      <h2 id="show-start">What it starts with</h2>
      <p class="quiet">When it is opened, or started afresh. What is further down lies over what is further up.</p>
      {keys.length === 0 && <p>Nothing: the room is dark until somebody presses a button.</p>}
      <ul {...as.list} class="this-show-start">
        {keys.map((key) => (
          <li key={key}>
            <span>{nameOf(key)}</span>
            <Push label={`Leave it out: ${nameOf(key)}`} onClick={() => set(starts.filter((one) => itemKey(one) !== key))}>
              Leave it out
            </Push>
          </li>
        ))}
      </ul>
      <Choose
        label="Add"
        first="Choose what to add"
        groups={all.map(({ name, items }) => ({ name, items: items.filter(({ key }) => !keys.includes(key)) }))}
        chosen=""
        onChoose={(key) => set([...starts, refOf(key)])}
      />
    </section>
  );
}

interface ChooseProps {
  readonly label: string;
  readonly first: string;
  readonly groups: readonly { readonly name: string; readonly items: readonly Named[] }[];
  readonly chosen: string;
  readonly onChoose: (key: string) => void;
}

function Choose({ label, first, groups, chosen, onChoose }: ChooseProps) {
  const own = useId();
  const some = groups.filter(({ items }) => items.length > 0);
  if (some.length === 0) return null;
  return (
    <div class="bench-field">
      <label for={own}>{label}</label>
      <select
        id={own}
        value={chosen}
        onChange={({ currentTarget }) => {
          const { value } = currentTarget;
          currentTarget.value = chosen;
          if (value !== chosen) onChoose(value);
        }}
      >
        {!some.some(({ items }) => items.some(({ key }) => key === chosen)) && <option value={chosen}>{first}</option>}
        {some.map(({ name, items }) => (
          <optgroup key={name} label={name}>
            {items.map(({ key, name: called }) => (
              <option key={key} value={key}>
                {called}
              </option>
            ))}
          </optgroup>
        ))}
      </select>
    </div>
  );
}

function FreshMasters({ show }: { readonly show: Show }) {
  const masters = now<Masters>(show, 'masters', show.masters);
  const set = (next: Masters, gesture?: string): void =>
    want({ kind: 'show', id: show.id, field: 'masters', now: next, ...(gesture === undefined ? {} : { gesture }) });
  const own = show.groups.filter(({ id }) => Object.hasOwn(masters.groups, id));
  const others = show.groups.filter(({ id }) => !Object.hasOwn(masters.groups, id));
  return (
    <section aria-labelledby="show-masters">
      <h2 id="show-masters">How much light it starts with</h2>
      <Pull label="Everything" value={masters.all} onPull={(all, gesture) => set({ ...masters, all }, gesture)} />
      {own.map(({ id, name }) => (
        <div key={id} class="this-show-master">
          <Pull
            label={name}
            value={masters.groups[id] ?? 1}
            onPull={(level, gesture) => set({ ...masters, groups: { ...masters.groups, [id]: level } }, gesture)}
          />
          <Push
            label={`As everything: ${name}`}
            onClick={() => {
              const { [id]: _, ...groups } = masters.groups;
              set({ ...masters, groups });
            }}
          >
            As everything
          </Push>
        </div>
      ))}
      {others.length > 0 && (
        <Choose
          label="A group with less"
          first="Choose a group"
          groups={[{ name: 'Groups', items: others.map(({ id, name }) => ({ key: id, name })) }]}
          chosen=""
          onChoose={(id) => set({ ...masters, groups: { ...masters.groups, [id]: 0.8 } })}
        />
      )}
    </section>
  );
}

function Fallback({ show }: { readonly show: Show }) {
  const fallback = now<Show['fallback']>(show, 'fallback', show.fallback);
  const set = (next: Show['fallback']): void => want({ kind: 'show', id: show.id, field: 'fallback', now: next });
  const isDark = fallback === 'blackout';
  const looks = show.looks.map(({ id, name }) => ({ key: `look:${id}`, name }));
  const [first] = show.looks;
  const keep = useRef<Show['fallback'] | undefined>(undefined);
  useEffect(() => {
    if (!isDark) keep.current = fallback;
  }, [fallback, isDark]);
  return (
    <section aria-labelledby="show-fallback">
      <h2 id="show-fallback">If every phone drops</h2>
      <p class="quiet">What needs somebody goes. What may go on with no phone there goes on.</p>
      <div class="choices">
        <label>
          <input type="radio" name="fallback" checked={isDark} onChange={() => set('blackout')} />
          <span>
            <strong>Blackout</strong>
            <span class="quiet">the room is left with the venue’s own light</span>
          </span>
        </label>
        <label>
          <input
            type="radio"
            name="fallback"
            checked={!isDark}
            disabled={first === undefined}
            onChange={() => first !== undefined && set(keep.current ?? { look: first.id })}
          />
          <span>
            <strong>A look</strong>
            <span class="quiet">{first === undefined ? 'this show has none yet' : 'so that guests are not left in the dark'}</span>
          </span>
        </label>
      </div>
      {!isDark && (
        <Choose
          label="Which look"
          first="A look that is not there any more"
          groups={[{ name: 'Looks', items: looks }]}
          chosen={itemKey(fallback)}
          onChoose={(key) => set(refOf(key) as Show['fallback'])}
        />
      )}
    </section>
  );
}
