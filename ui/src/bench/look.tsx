import { useEffect, useRef } from 'preact/hooks';
import type { Part, Show, Who } from '../../../node/show/document.ts';
import { uses } from '../../../node/show/document.ts';
import { Push } from '../parts/push.tsx';
import { as } from '../parts/spoken.tsx';
import { tell } from '../presses.ts';
import { addressOf } from '../route.ts';
import { hello, isOpen } from '../state.ts';
import { change, idAfter, standing, waitsFor, want } from './edits.ts';
import { Pull, Text, Tick } from './inputs.tsx';
import { cssOf, readSeconds, useInWords, whoInWords } from './written.ts';

type Look = Show['looks'][number];

function openLook(id?: string): void {
  location.hash = addressOf('bench', 'looks', ...(id === undefined ? [] : [id]));
}

/** Parts of a look are one field of it: a change of one is made on what is wanted already, or stands there. */
function setParts(look: string, make: (parts: readonly Part[]) => readonly Part[], gesture?: string): void {
  const field = { kind: 'look', id: look, field: 'parts' } as const;
  const now = make((waitsFor(field)?.now ?? standing(field) ?? []) as readonly Part[]);
  want({ ...field, now, ...(gesture === undefined ? {} : { gesture }) });
}

const withPart = (i: number, what: Partial<Part>) => (parts: readonly Part[]) =>
  parts.map((part, at) => (at === i ? clean({ ...part, ...what }) : part));

/** A field that is undefined is left out. */
const clean = (part: Part): Part => Object.fromEntries(Object.entries(part).filter(([, value]) => value !== undefined)) as Part;

/** One look, open to be changed. */
export function LookSheet({ look, show }: { readonly look: Look; readonly show: Show }) {
  const field = { kind: 'look', id: look.id } as const;
  const parts = (waitsFor({ ...field, field: 'parts' })?.now ?? look.parts) as readonly Part[];
  const top = useRef<HTMLElement>(null);
  // The list that it was chosen from was longer: without this its middle would be in view.
  useEffect(() => {
    if (look.id !== '') top.current?.scrollIntoView({ block: 'start' });
  }, [look.id]);
  const button = show.buttons.find(({ starts }) => starts.some((one) => 'look' in one && one.look === look.id));
  return (
    <section ref={top} class="bench-look" aria-labelledby="bench-look">
      <header>
        <h1 id="bench-look" class="bench-title">
          {look.name}
        </h1>
        {button === undefined ? (
          <Push onClick={() => void giveButton(look, show)}>Give it a button</Push>
        ) : (
          <Push disabled={!isOpen.value} onClick={() => tell({ do: 'press', button: button.id })}>
            See it in the room
          </Push>
        )}
      </header>
      <div class="bench-row">
        <Text {...field} field="name" label="Name" value={look.name} />
        <Text
          {...field}
          field="fade"
          label="Comes in over"
          value={`${look.fade} s`}
          read={readSeconds}
          help="A time such as 2, 2.5 s or 1 min."
        />
      </div>
      <div class="choices">
        <Tick
          {...field}
          field="unattended"
          label="Goes on with no phone there"
          hint="else it needs somebody"
          value={look.unattended}
        />
      </div>
      {parts.length === 0 && <p>It lights nothing yet. Say which lights it is for.</p>}
      <ol {...as.list} class="bench-parts">
        {parts.map((part, i) => (
          <PartSheet key={`${look.id} ${i}`} look={look.id} part={part} place={i} show={show} />
        ))}
      </ol>
      {hello.value?.show.buttons.some(({ id, guessed }) => id === button?.id && guessed) === true && (
        <p class="quiet">How bright these lamps are beside each other is guessed by their kind: look at them in the room.</p>
      )}
      <AddLights look={look} parts={parts} show={show} />
      <div class="bench-row">
        <Push onClick={() => void copy(look, show)}>Make another like it</Push>
        <Push onClick={() => void takeOut(look)}>Take it out</Push>
      </div>
    </section>
  );
}

function PartSheet({ look, part, place, show }: { look: string; part: Part; place: number; show: Show }) {
  const { colours } = show.theme;
  const own = part.colour === undefined ? [] : [part.colour].flat();
  const toggle = (value: string): void => {
    const next = own.includes(value) ? own.filter((one) => one !== value) : [...own, value];
    const [only] = next;
    setParts(look, withPart(place, { colour: next.length === 0 ? undefined : next.length === 1 ? only : next }));
  };
  const others = own.filter((value) => !colours.some(({ id }) => value === `theme:${id}`));
  const lights = whoInWords(part.who, show);
  return (
    <li>
      <h2>{lights}</h2>
      <Pull
        label={part.level === undefined ? 'Light: as below it' : 'Light'}
        value={part.level ?? 0}
        onPull={(level, gesture) => setParts(look, withPart(place, { level }), gesture)}
      />
      <fieldset>
        <legend>Colours, in turn over these lights</legend>
        {[
          ...colours.map(({ id, name }) => ({ value: `theme:${id}`, name })),
          ...others.map((value) => ({ value, name: value })),
        ].map(({ value, name }) => (
          <label key={value} class="bench-chip" style={{ '--swatch': cssOf(value, colours) ?? 'transparent' }}>
            <input type="checkbox" checked={own.includes(value)} onChange={() => toggle(value)} />
            <span>{name}</span>
          </label>
        ))}
      </fieldset>
      <Push label={`Leave these out: ${lights}`} onClick={() => setParts(look, (parts) => parts.filter((_, at) => at !== place))}>
        Leave these out
      </Push>
    </li>
  );
}

/** Lights by what they are for, and by group: those that the show has and this look does not speak of yet. */
function AddLights({ look, parts, show }: { readonly look: Look; readonly parts: readonly Part[]; readonly show: Show }) {
  const spoken = (one: Who): boolean => parts.some(({ who }) => who.some((other) => JSON.stringify(other) === JSON.stringify(one)));
  const offered: { readonly who: Who; readonly name: string }[] = [
    { who: { all: true } as const, name: 'All lights' },
    ...uses
      .filter((use) => show.fixtures.some((one) => one.use === use))
      .map((use) => ({ who: { use }, name: `All ${useInWords(use)}` })),
    ...show.groups.map(({ id, name }) => ({ who: { group: id }, name })),
  ].filter(({ who }) => !spoken(who));
  if (offered.length === 0) return null;
  return (
    <fieldset class="bench-add">
      <legend>Add lights</legend>
      {offered.map(({ who, name }) => (
        <Push key={name} onClick={() => setParts(look.id, (parts) => [...parts, { who: [who], brightness: 'best', level: 0.5 }])}>
          {name}
        </Push>
      ))}
    </fieldset>
  );
}

/** Without a button nothing on Tonight starts a look. It stands behind the others, under the name of the look. */
async function giveButton({ id, name }: Look, { buttons }: Show): Promise<void> {
  const own = idAfter(name, buttons);
  await change({ do: 'add', kind: 'button', id: own, now: { id: own, name, starts: [{ look: id }], alone: true } });
}

/** A new look, lit a little so that it can be seen; it is open then. */
export async function newLook(show: Show): Promise<void> {
  const name = 'New look';
  const id = idAfter(name, show.looks);
  if (await change({ do: 'add', kind: 'look', id, now: { id, name, parts: [{ who: [{ all: true }], level: 0.5 }] } })) openLook(id);
}

async function copy(look: Look, show: Show): Promise<void> {
  const { order: _, ...own } = look;
  const name = `${look.name.slice(0, 70)}, another`;
  const id = idAfter(name, show.looks);
  if (await change({ do: 'add', kind: 'look', id, now: { ...own, id, name } })) openLook(id);
}

async function takeOut(look: Look): Promise<void> {
  if (await change({ do: 'drop', kind: 'look', id: look.id, was: look })) openLook();
}
