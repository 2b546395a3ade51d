import { useLayoutEffect, useMemo } from 'preact/hooks';
import type { Part, Show } from '../../../../node/show/document.ts';
import { Push } from '../../parts/push.tsx';
import { as } from '../../parts/spoken.tsx';
import { Pull } from '../inputs.tsx';
import { cssOf, whoInWords } from '../written.ts';
import { abilitiesOf } from './abilities.ts';
import { ChooseLights } from './choose-lights.tsx';
import { toggled, withLight } from './lights.ts';
import './parts.css';
import { NamedFields } from './named-fields.tsx';
import { PartColours } from './part-colours.tsx';
import { coloursOf, partInWords } from './part-words.ts';
import {
  addPart,
  choosing,
  closeChoice,
  isOpened,
  openPart,
  type PartChange,
  type PartsPlace,
  setPart,
  takeOutPart,
} from './place.ts';

interface PartsProps {
  readonly place: PartsPlace;
  readonly parts: readonly Part[];
  readonly show: Show;
}

/** What some lights do, and others, one below the other: looks, steps of chases and hits are made of these. One is open at a time. */
export function Parts({ place, parts, show }: PartsProps) {
  const { kind, id, step } = place;
  // With what is drawn, not after it: what is open must not depend on what else is drawn meanwhile.
  useLayoutEffect(() => {
    // Where there is one alone nobody has to choose.
    if (parts.length === 1) openPart(place, 0);
    return closeChoice;
  }, [kind, id, step]);
  return (
    <>
      {parts.length === 0 && <p>It lights nothing yet. Say which lights it is for.</p>}
      <ol {...as.list} class="bench-parts">
        {parts.map((part, at) => (
          <PartSheet key={`${place.kind} ${place.id} ${place.step} ${at}`} place={place} part={part} at={at} show={show} />
        ))}
      </ol>
      <AddLights place={place} parts={parts} show={show} />
    </>
  );
}

interface PartProps {
  readonly place: PartsPlace;
  readonly part: Part;
  readonly at: number;
  readonly show: Show;
}

function PartSheet({ place, part, at, show }: PartProps) {
  const open = isOpened(place, at);
  const lights = whoInWords(part.who, show);
  return (
    <li>
      <h2>
        <button type="button" class="part-head" aria-expanded={open} onClick={() => (open ? closeChoice() : openPart(place, at))}>
          <Strips parts={[part]} show={show} />
          <span>
            <strong>{lights}</strong> <span class="quiet">{partInWords(part, show)}</span>
          </span>
        </button>
      </h2>
      {open && <PartFields place={place} part={part} at={at} show={show} lights={lights} />}
    </li>
  );
}

/** The colours of parts side by side. */
export const Strips = ({ parts, show }: { readonly parts: readonly Part[]; readonly show: Pick<Show, 'theme'> }) => (
  <span class="bench-strip" aria-hidden="true">
    {parts.flatMap((part, i) =>
      coloursOf(part).map((value, k) => (
        <i key={`${i} ${k} ${value}`} style={{ background: cssOf(value, show.theme.colours) ?? 'none' }} />
      )),
    )}
  </span>
);

function PartFields({ place, part, at, show, lights }: PartProps & { readonly lights: string }) {
  const can = useMemo(() => abilitiesOf(part.who, show), [part.who, show.fixtures, show.groups, show.fixtureTypes]);
  const isChoosing = choosing.value?.isListed === true;
  const set = (what: PartChange, gesture?: string): void => setPart(place, at, what, gesture);
  const { level } = part;
  return (
    <div class="part-fields">
      <Push pressed={isChoosing} onClick={() => openPart(place, at, !isChoosing)}>
        Other lights
      </Push>
      {!isChoosing && <p class="quiet">Touch lamps in the picture of the room to add them or take them out.</p>}
      {isChoosing && (
        <ChooseLights
          who={part.who}
          show={show}
          onToggle={(one) => setPart(place, at, ({ who }) => ({ who: toggled(who, one) }))}
          onLight={(id) => setPart(place, at, ({ who }) => ({ who: withLight(who, id, show) }))}
        />
      )}
      {(can.light || level !== undefined) && (
        <div class="part-field">
          <Pull label="Light" value={level} onPull={(now, gesture) => set({ level: now }, gesture)} />
          {level !== undefined && (
            <Push label="Light as below it" onClick={() => set({ level: undefined })}>
              As below
            </Push>
          )}
        </div>
      )}
      {(can.colour || part.colour !== undefined) && <PartColours part={part} show={show} lamps={can.lamps} set={set} />}
      <NamedFields part={part} show={show} can={can} set={set} />
      <Push label={`Take out: ${lights}`} onClick={() => takeOutPart(place, at)}>
        Take out
      </Push>
    </div>
  );
}

/** The first light that is chosen makes the part: until then there is nothing that could be missing. */
function AddLights({ place, parts, show }: PartsProps) {
  const open = isOpened(place, parts.length);
  const add = (who: Part['who']): void => addPart(place, parts.length, who);
  return (
    <div class="part-add">
      <Push pressed={open} onClick={() => (open ? closeChoice() : openPart(place, parts.length))}>
        Add lights
      </Push>
      {open && <ChooseLights who={[]} show={show} onToggle={(one) => add([one])} onLight={(fixture) => add([{ fixture }])} />}
    </div>
  );
}
