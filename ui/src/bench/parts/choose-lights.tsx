import { useState } from 'preact/hooks';
import { type Show, uses, type Who } from '../../../../node/show/document.ts';
import { Chip } from '../inputs.tsx';
import { useInWords } from '../written.ts';
import { isSame, lightsOf } from './lights.ts';

interface ChooseLightsProps {
  readonly who: readonly Who[];
  readonly show: Show;
  /** A use, a group or all: it comes or goes. */
  readonly onToggle: (one: Who) => void;
  /** A single light: it comes or goes, whoever it is meant by. */
  readonly onLight: (id: string) => void;
}

/** Single lights that are shown at once; the others are found by their names. */
const MOST = 24;

/** Which lights: by what they are for, by group, one by one. The picture of the room does the same by touch. */
export function ChooseLights({ who, show, onToggle, onLight }: ChooseLightsProps) {
  const [sought, setSought] = useState('');
  const isChosen = (one: Who): boolean => who.some((other) => isSame(one, other));
  const meant = new Set(lightsOf(who, show).map(({ id }) => id));
  const words = sought.trim().toLowerCase();
  const found = show.fixtures.filter(({ name, use }) => `${name} ${use}`.toLowerCase().includes(words));
  const own = uses.filter((use) => show.fixtures.some((one) => one.use === use));
  const chip = (one: Who, name: string) => (
    <Chip key={JSON.stringify(one)} label={name} isChosen={isChosen(one)} onChange={() => onToggle(one)} />
  );
  return (
    <div class="part-lights">
      <p class="quiet">Touch lamps in the picture of the room, or choose them here.</p>
      <fieldset>
        <legend>By what they are for</legend>
        {chip({ all: true }, 'All lights')}
        {own.map((use) => chip({ use }, `All ${useInWords(use)}`))}
      </fieldset>
      {show.groups.length > 0 && (
        <fieldset>
          <legend>By group</legend>
          {show.groups.map(({ id, name }) => chip({ group: id }, name))}
        </fieldset>
      )}
      <fieldset>
        <legend>One by one</legend>
        {show.fixtures.length > 8 && (
          <input
            type="search"
            aria-label="Find a light"
            placeholder="Find a light"
            value={sought}
            onInput={({ currentTarget }) => setSought(currentTarget.value)}
          />
        )}
        {found.slice(0, MOST).map(({ id, name }) => (
          <Chip key={id} label={name} isChosen={meant.has(id)} onChange={() => onLight(id)} />
        ))}
        {found.length === 0 && <p class="quiet">No light is called so.</p>}
        {found.length > MOST && <p class="quiet">{found.length - MOST} more: find them by their names.</p>}
      </fieldset>
    </div>
  );
}
