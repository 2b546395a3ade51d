import { useId, useMemo, useState } from 'preact/hooks';
import type { Part, Show } from '../../../../node/show/document.ts';
import { Push } from '../../parts/push.tsx';
import { ColourEye } from '../colours/colour-eye.tsx';
import { ColourPlane } from '../colours/colour-plane.tsx';
import { named } from '../colours/colours.tsx';
import { ReachNote } from '../colours/reach-note.tsx';
import { Chip } from '../inputs.tsx';
import { cssOf, readColour } from '../written.ts';
import { lightsOf } from './lights.ts';
import { colourInWords, coloursOf } from './part-words.ts';
import type { PartChange } from './place.ts';

interface PartColoursProps {
  readonly part: Part;
  readonly show: Show;
  /** How many lamps wear a colour: for one there is nothing to match. */
  readonly lamps: number;
  readonly set: (what: PartChange, gesture?: string) => void;
}

/** The colours of a part: the client's, and any other; and how unlike lamps stand beside each other in them. */
export function PartColours({ part, show, lamps, set }: PartColoursProps) {
  const { colours } = show.theme;
  const own = coloursOf(part);
  const name = useId();
  const { theme, fixtureTypes, fixtures, groups } = show;
  const worn = useMemo(
    () => ({ theme, fixtureTypes, fixtures: lightsOf(part.who, { fixtures, groups }) }),
    [part.who, theme, fixtureTypes, fixtures, groups],
  );
  const put = (next: readonly string[]): void => {
    const [only] = next;
    set({ colour: next.length === 0 ? undefined : next.length === 1 ? only : [...next] });
  };
  const toggle = (value: string): void => put(own.includes(value) ? own.filter((one) => one !== value) : [...own, value]);
  const others = [...new Set(own.filter((value) => !colours.some(({ id }) => value === `theme:${id}`)))];
  return (
    <>
      <fieldset>
        <legend>{orderInWords(own, show)}</legend>
        {colours.map(({ id, name: called, value }) => (
          <Chip
            key={id}
            label={called}
            swatch={cssOf(value, []) ?? 'transparent'}
            isChosen={own.includes(`theme:${id}`)}
            onChange={() => toggle(`theme:${id}`)}
          />
        ))}
        {others.map((value) => (
          <Chip
            key={value}
            label={colourInWords(value, show)}
            swatch={cssOf(value, colours) ?? 'transparent'}
            isChosen
            onChange={() => toggle(value)}
          />
        ))}
      </fieldset>
      {own.map((value) => (
        <ReachNote
          key={value}
          show={worn}
          value={value}
          called={own.length === 1 ? 'this colour' : `${colourInWords(value, show)} where it falls to them`}
        />
      ))}
      <OtherColour show={worn} onAdd={(value) => own.includes(value) || put([...own, value])} />
      {own.length > 0 && lamps > 1 && (
        <fieldset>
          <legend>How bright beside each other</legend>
          <Chip
            label="Each its best"
            among={name}
            isChosen={part.brightness === 'best'}
            onChange={() => set({ brightness: 'best' })}
          />
          <Chip
            label="As bright as the weakest of them"
            among={name}
            isChosen={part.brightness === 'match'}
            onChange={() => set({ brightness: 'match' })}
          />
        </fieldset>
      )}
    </>
  );
}

/** In which order colours fall to the lights, one after the other; one may come twice. */
function orderInWords(own: readonly string[], show: Show): string {
  if (own.length === 0) return 'Colours: as below it';
  return own.length === 1
    ? 'Colour'
    : `Colours, in turn over these lights: ${own.map((value) => colourInWords(value, show)).join(', ')}`;
}

/** A colour that is none of the client's: written, or by eye. */
function OtherColour({
  show,
  onAdd,
}: {
  readonly show: Pick<Show, 'fixtures' | 'fixtureTypes'>;
  readonly onAdd: (value: string) => void;
}) {
  const [text, setText] = useState('');
  const [isOpen, setOpen] = useState(false);
  const own = useId();
  const read = readColour(text, named);
  const isWrong = text.trim() !== '' && read === undefined;
  const add = (value: string | undefined): void => {
    if (value === undefined) return;
    onAdd(value);
    setText('');
    setOpen(false);
  };
  return (
    <div class="part-field part-other-colour">
      <div class="bench-field">
        <label for={own}>Another colour</label>
        <input
          id={own}
          type="text"
          value={text}
          maxLength={40}
          autocomplete="off"
          placeholder="#f7e7ce, 2700 K, coral"
          aria-invalid={isWrong}
          aria-describedby={`${own}-said`}
          onInput={({ currentTarget }) => setText(currentTarget.value)}
          onKeyDown={({ key }) => key === 'Enter' && add(read)}
        />
        <small id={`${own}-said`} role="status">
          {isWrong ? 'A colour such as #f7e7ce, 2700 K or its English name.' : ''}
        </small>
      </div>
      <ColourEye
        called="Another colour"
        css={read === undefined ? undefined : cssOf(read, [])}
        isOpen={isOpen}
        onToggle={() => setOpen(!isOpen)}
      />
      <Push disabled={read === undefined} onClick={() => add(read)}>
        Add this colour
      </Push>
      {isOpen && <ColourPlane show={show} called="Another colour" value={read} onPull={setText} />}
    </div>
  );
}
