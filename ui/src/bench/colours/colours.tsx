import { Push } from '../../parts/push.tsx';
import { as } from '../../parts/spoken.tsx';
import { change, idAfter, want } from '../edits.ts';
import { Text } from '../inputs.tsx';
import type { PageProps } from '../page.ts';
import { cssOf, readColour } from '../written.ts';
import { PhotoColours } from './photo-colours.tsx';
import { ReachNote } from './reach-note.tsx';

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
export function Colours({ show }: PageProps) {
  const { colours } = show.theme;
  const add = (): void => {
    const name = 'New colour';
    void change({
      do: 'add',
      kind: 'themeColour',
      id: idAfter(name, colours),
      now: { id: idAfter(name, colours), name, value: WHITE },
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
          <li key={colour.id} id={`themeColour-${colour.id}`}>
            <label class="bench-swatch" style={{ '--swatch': cssOf(colour.value, []) ?? 'transparent' }}>
              <span class="spoken">{colour.name}, by eye</span>
              <input
                type="color"
                value={cssOf(colour.value, []) ?? '#000000'}
                onInput={({ currentTarget }) =>
                  want({
                    kind: 'themeColour',
                    id: colour.id,
                    field: 'value',
                    now: currentTarget.value,
                    gesture: `pull-eye-${colour.id}`,
                  })
                }
              />
            </label>
            <Text kind="themeColour" id={colour.id} field="name" label="Name" value={colour.name} />
            <Text
              kind="themeColour"
              id={colour.id}
              field="value"
              label="Colour"
              value={colour.value}
              read={(text) => readColour(text, named)}
              help={HELP}
            />
            <Push
              label={`Take out ${colour.name}`}
              onClick={() => void change({ do: 'drop', kind: 'themeColour', id: colour.id, was: colour })}
            >
              Take out
            </Push>
            <ReachNote show={show} value={colour.value} called="this colour" />
          </li>
        ))}
      </ul>
      <Push onClick={add}>Add a colour</Push>
      <PhotoColours colours={colours} />
    </section>
  );
}
