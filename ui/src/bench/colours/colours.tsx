import type { ComponentChildren } from 'preact';
import { useMemo, useState } from 'preact/hooks';
import type { Show } from '../../../../node/show/document.ts';
import { Push } from '../../parts/push.tsx';
import { as } from '../../parts/spoken.tsx';
import { change, idAfter, waitsFor, want } from '../edits.ts';
import { Chip, Text } from '../inputs.tsx';
import type { PageProps } from '../page.ts';
import { cssOf, readColour, useInWords } from '../written.ts';
import { ColourEye } from './colour-eye.tsx';
import { ColourPlane } from './colour-plane.tsx';
import { PhotoColours } from './photo-colours.tsx';
import { ReachNote } from './reach-note.tsx';

type Use = Show['fixtures'][number]['use'];

const HELP = 'A colour such as #f7e7ce, 2700 K or its English name.';
/** A first value for a new colour: nobody has said anything of it yet. */
const WHITE = '2700 K';

/** What the browser makes of the name of a colour. */
export function named(word: string): string | undefined {
  const probe = document.createElement('canvas').getContext('2d');
  if (probe === null || !/^[a-z]+$/.test(word)) return undefined;
  // What is no colour leaves what was there before: two tries tell one from the other.
  const made = ['#000001', '#000002'].map((before) => {
    probe.fillStyle = before;
    probe.fillStyle = word;
    return String(probe.fillStyle);
  });
  return made[0] === made[1] ? made[0] : undefined;
}

/** The client's colours. Looks name them, so what is changed here changes everywhere. */
export function Colours({ show, open: asked }: PageProps) {
  const { colours } = show.theme;
  const [open, setOpen] = useState(asked);
  const [use, setUse] = useState<Use | undefined>(undefined);
  const uses: Use[] = [...new Set(show.fixtures.map((one) => one.use))].filter((one) => one !== 'haze' && one !== 'laser');
  const isMeant = use !== undefined && uses.includes(use);
  const { fixtures } = show;
  const meant = useMemo(() => (isMeant ? fixtures.filter((one) => one.use === use) : fixtures), [fixtures, isMeant, use]);
  const add = (): void => {
    const name = 'New colour';
    const id = idAfter(name, colours);
    void change({ do: 'add', kind: 'themeColour', id, now: { id, name, value: WHITE } }).then((done) => {
      if (done) setOpen(id);
    });
  };
  return (
    <section class="bench-colours" aria-labelledby="bench-colours">
      <h1 id="bench-colours" class="bench-title">
        Colours of the theme
      </h1>
      <p class="quiet">Looks name these: what is changed here changes in all of them at once.</p>
      <ul {...as.list}>
        {colours.map((colour) => (
          <ThemeColour
            key={colour.id}
            colour={colour}
            show={show}
            meant={meant}
            isOpen={open === colour.id}
            onToggle={() => setOpen(open === colour.id ? undefined : colour.id)}
          >
            {uses.length > 1 && (
              <fieldset>
                <legend>Which lights shall reach it</legend>
                <Chip label="All lights" among="colour-reach" isChosen={!isMeant} onChange={() => setUse(undefined)} />
                {uses.map((one) => (
                  <Chip
                    key={one}
                    label={useInWords(one)}
                    among="colour-reach"
                    isChosen={isMeant && use === one}
                    onChange={() => setUse(one)}
                  />
                ))}
              </fieldset>
            )}
          </ThemeColour>
        ))}
      </ul>
      <Push onClick={add}>Add a colour</Push>
      <PhotoColours colours={colours} />
    </section>
  );
}

interface ThemeColourProps {
  readonly colour: Show['theme']['colours'][number];
  readonly show: Show;
  /** Those of its lights that shall reach it. */
  readonly meant: Show['fixtures'];
  readonly isOpen: boolean;
  readonly onToggle: () => void;
  /** Below the plane. */
  readonly children: ComponentChildren;
}

/** One of the client's colours: its name, how it is written, and by eye. */
function ThemeColour({ colour, show, meant, isOpen, onToggle, children }: ThemeColourProps) {
  const field = { kind: 'themeColour', id: colour.id } as const;
  // While it is pulled it is ahead of what is stored.
  const value = (waitsFor({ ...field, field: 'value' })?.now ?? colour.value) as string;
  return (
    <li id={`themeColour-${colour.id}`}>
      <ColourEye called={colour.name} css={cssOf(value, [])} isOpen={isOpen} onToggle={onToggle} />
      <Text {...field} field="name" label="Name" value={colour.name} />
      <Text {...field} field="value" label="Colour" value={colour.value} read={(text) => readColour(text, named)} help={HELP} />
      <Push label={`Take out ${colour.name}`} onClick={() => void change({ do: 'drop', ...field, was: colour })}>
        Take out
      </Push>
      {isOpen && (
        <>
          <ColourPlane
            show={{ fixtures: meant, fixtureTypes: show.fixtureTypes }}
            called={colour.name}
            value={value}
            onPull={(now, gesture) => want({ ...field, field: 'value', now, gesture })}
          />
          {children}
        </>
      )}
      <ReachNote show={show} value={value} called="this colour" />
    </li>
  );
}
