import type { ComponentChildren } from 'preact';
import { useId, useState } from 'preact/hooks';
import { attribute, type DirectName } from '../../../../node/core/attributes.ts';
import type { Part, Show } from '../../../../node/show/document.ts';
import { Push } from '../../parts/push.tsx';
import { readHertz, writeHertz } from '../amounts.ts';
import { FlashCaution, HazeCaution } from '../cautions.tsx';
import { Pull } from '../inputs.tsx';
import { Mark } from '../lights/fields.tsx';
import { reading, Typed } from '../typed.tsx';
import { secondsInWords } from '../written.ts';
import { type Abilities, labelOf, type Range, type Slot } from './abilities.ts';
import { AimFields } from './aim-fields.tsx';
import { Angle } from './angle.tsx';
import { Notes } from './notes.tsx';
import { strobes } from './part-words.ts';
import type { PartChange } from './place.ts';

interface FieldsProps {
  readonly part: Part;
  readonly show: Show;
  readonly can: Abilities;
  readonly set: (what: PartChange, gesture?: string) => void;
}

type Name = 'aim' | 'gobo' | 'zoom' | 'strobe' | 'uv' | 'haze' | 'fan';

interface Offered {
  readonly name: Name;
  readonly label: string;
  readonly isThere: boolean;
  /** What it begins with when it is named. */
  readonly first: PartChange;
}

/** What these lights can do besides light and colour. What is named has its field; the rest is left to what plays below until somebody names it. */
export function NamedFields({ part, show, can, set }: FieldsProps) {
  const [isMore, setMore] = useState(false);
  const strobe = can.range('Shutter1Strobe');
  const zoom = can.range('Zoom');
  const offered: readonly Offered[] = [
    { name: 'aim', label: 'Aim', isThere: can.has('Pan') && can.has('Tilt'), first: { aim: { pan: 0, tilt: 0 } } },
    { name: 'gobo', label: 'Gobo', isThere: can.has('Gobo1'), first: { gobo: 1 } },
    { name: 'zoom', label: 'Zoom', isThere: zoom !== undefined, first: { zoom: Math.round(middle(zoom)) } },
    { name: 'uv', label: 'UV', isThere: can.has('ColorAdd_UV'), first: { uv: 0.5 } },
    { name: 'strobe', label: 'Strobe', isThere: strobe !== undefined, first: { strobe: Math.max(1, Math.ceil(strobe?.[0] ?? 1)) } },
    { name: 'haze', label: 'Haze', isThere: can.has('Haze1') || can.has('Fog1'), first: { haze: 0.2 } },
    { name: 'fan', label: 'Fan', isThere: can.has('Fan1'), first: { fan: 0.3 } },
  ];
  const left = offered.filter(({ name, isThere }) => isThere && part[name] === undefined);
  const named = Object.keys(part.attributes ?? {}) as DirectName[];
  const others = can.more.filter((name) => !named.includes(name));
  const setOther = (name: DirectName, value: number | undefined, gesture?: string): void => {
    const { [name]: _, ...rest } = part.attributes ?? {};
    const next = value === undefined ? rest : { ...rest, [name]: value };
    set({ attributes: Object.keys(next).length === 0 ? undefined : next }, gesture);
  };
  return (
    <>
      {offered
        .filter(({ name }) => part[name] !== undefined)
        .map(({ name, label }) => (
          <Row
            key={name}
            label={label}
            // What is aimed no more is not meant to rest anywhere.
            onLeave={() => set({ [name]: undefined, ...(name === 'aim' && { focus: undefined }) })}
            caution={cautionOf(name, part)}
          >
            <Field name={name} part={part} show={show} can={can} set={set} />
          </Row>
        ))}
      {named.map((name) => (
        <Row key={name} label={labelOf(name)} onLeave={() => setOther(name, undefined)}>
          <Attribute
            name={name}
            value={part.attributes?.[name] ?? 0}
            slots={can.slots(name)}
            range={can.range(name)}
            set={(value, gesture) => setOther(name, value, gesture)}
          />
        </Row>
      ))}
      {left.length + others.length > 0 && (
        <fieldset>
          <legend>As below it until it is named</legend>
          {left.map(({ name, label, first }) => (
            <Push key={name} onClick={() => set(first)}>
              {label}
            </Push>
          ))}
          {others.length > 0 && (
            <Push pressed={isMore} onClick={() => setMore(!isMore)}>
              More
            </Push>
          )}
          {isMore &&
            others.map((name) => (
              <Push key={name} onClick={() => setOther(name, firstOf(name, can.range(name)))}>
                {labelOf(name)}
              </Push>
            ))}
        </fieldset>
      )}
    </>
  );
}

const middle = (range: Range | undefined): number => (range === undefined ? 0 : (range[0] + range[1]) / 2);

const firstOf = (name: DirectName, range: Range | undefined): number => {
  const { unit, rest } = attribute(name);
  return unit === 'degrees' ? Math.round(middle(range)) : rest;
};

const cautionOf = (name: Name, part: Part): ComponentChildren =>
  name === 'strobe' && strobes(part) ? <FlashCaution /> : name === 'haze' ? <HazeCaution /> : undefined;

interface RowProps {
  readonly label: string;
  readonly onLeave: () => void;
  readonly caution?: ComponentChildren;
  readonly children: ComponentChildren;
}

/** A field that is named, how it is left to what plays below again, and what has to be thought of. */
const Row = ({ label, onLeave, caution, children }: RowProps) => (
  <div>
    <div class="part-field">
      {children}
      <Push label={`${label} as below it`} onClick={onLeave}>
        As below
      </Push>
    </div>
    {caution}
  </div>
);

function Field({ name, part, show, can, set }: FieldsProps & { readonly name: Name }) {
  switch (name) {
    case 'aim':
      return (
        <div class="part-where">
          <AimFields
            aim={part.aim ?? { pan: 0, tilt: 0 }}
            who={part.who}
            show={show}
            can={can}
            set={(aim, by) => set({ aim }, by)}
          />
          <Notes show={show} of={(reader) => reader.aimNotes(part.aim, part.who)} on={[part.aim, part.who]} />
          <Mark
            label="Meant to rest there"
            hint={`for a first dance or a cake. Otherwise a beam that rests where guests may look into it is dimmed after ${secondsInWords(show.mayRest)}.`}
            value={part.focus === true}
            onMark={(on) => set({ focus: on || undefined })}
          />
        </div>
      );
    case 'gobo':
      return <Places label="Gobo" value={part.gobo ?? 1} slots={can.slots('Gobo1')} set={(gobo) => set({ gobo })} />;
    case 'zoom':
      return (
        <Angle label="Zoom" value={part.zoom ?? 0} range={can.range('Zoom') ?? [0, 180]} set={(zoom, by) => set({ zoom }, by)} />
      );
    case 'strobe': {
      const most = can.range('Shutter1Strobe')?.[1] ?? 25;
      return (
        <Typed
          label="Strobe"
          value={writeHertz(part.strobe ?? 0)}
          onType={reading({ read: readHertz(0, most), write: writeHertz, onRead: (strobe, by) => set({ strobe }, by) })}
          help={`Flashes a second: 0 for none, ${writeHertz(most)} at most.`}
        />
      );
    }
    case 'haze':
      return <Pull label="Haze" value={part.haze ?? 0} onPull={(haze, by) => set({ haze }, by)} />;
    case 'uv':
      return <Pull label="UV" value={part.uv ?? 0} onPull={(uv, by) => set({ uv }, by)} />;
    case 'fan':
      return <Pull label="Fan" value={part.fan ?? 0} onPull={(fan, by) => set({ fan }, by)} />;
  }
}

interface PlacesProps {
  readonly label: string;
  readonly value: number;
  readonly slots: readonly Slot[];
  readonly set: (value: number) => void;
}

/** What is in by steps, by its name. */
function Places({ label, value, slots, set }: PlacesProps) {
  const own = useId();
  const known = slots.some(({ slot }) => slot === value);
  return (
    <div class="bench-field">
      <label for={own}>{label}</label>
      <select id={own} value={value} onChange={({ currentTarget }) => set(Number(currentTarget.value))}>
        {!known && <option value={value}>Place {value}, which these lights do not have</option>}
        {slots.map(({ slot, name }) => (
          <option key={slot} value={slot}>
            {name}
          </option>
        ))}
      </select>
    </div>
  );
}

interface AttributeProps {
  readonly name: DirectName;
  readonly value: number;
  readonly slots: readonly Slot[];
  readonly range: Range | undefined;
  readonly set: (value: number, gesture?: string) => void;
}

/** Any other attribute, in its unit. */
function Attribute({ name, value, slots, range, set }: AttributeProps) {
  const { unit, range: allowed = [0, 1] } = attribute(name);
  const label = labelOf(name);
  if (unit === 'slot') return <Places label={label} value={value} slots={slots} set={set} />;
  if (unit === 'degrees') return <Angle label={label} value={value} range={range ?? allowed} set={set} />;
  return <Pull label={label} value={value} onPull={set} />;
}
