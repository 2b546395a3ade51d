import { useState } from 'preact/hooks';
import type { Channel, ChannelFunction, FixtureType } from '../../../../node/rig/fixture-type.ts';
import { named } from '../colours/colours.tsx';
import { Typed } from '../typed.tsx';
import { readColour } from '../written.ts';
import { isWheel, type NamedPlace, placesInWords, placesOf, readPlaces, withPlaces } from './type-form.ts';

interface MeaningProps {
  readonly type: FixtureType;
  readonly channel: Channel;
  readonly job: ChannelFunction;
  readonly onChange: (job: ChannelFunction, wheels?: FixtureType['wheels']) => boolean;
}

/** What the values of a job mean in the room, where that is more than none to all. */
export function Meaning({ type, channel, job, onChange }: MeaningProps) {
  const { attribute, physical } = job;
  const [low, high] = physical;
  switch (attribute) {
    case 'Pan':
    case 'Tilt':
      return (
        <Typed
          label={`${attribute} turns by, in degrees`}
          value={String(Math.abs(high - low))}
          help="Degrees from 10 to 1080, such as 540."
          onType={(text) => {
            const whole = Number(/^(\d{2,4})\s*°?$/.exec(text.trim())?.[1] ?? Number.NaN);
            return (
              whole >= 10 &&
              whole <= 1080 &&
              onChange({ ...job, physical: low > high ? [whole / 2, -whole / 2] : [-whole / 2, whole / 2] })
            );
          }}
        />
      );
    case 'Zoom':
      return <Ends label="Opens from and to, in degrees" job={job} most={180} onChange={onChange} />;
    case 'Shutter1Strobe':
      return <Ends label="Flashes a second, at its start and its end" job={job} most={50} onChange={onChange} />;
    case 'Shutter1':
      return (
        <Places
          type={type}
          channel={channel}
          job={job}
          onChange={onChange}
          label="Where it is closed and open"
          example="closed 0–7, open 8–15"
        />
      );
    case 'Prism1':
      return (
        <Places
          type={type}
          channel={channel}
          job={job}
          onChange={onChange}
          label="Where it is out and in"
          example="out 0–9, three facets 10–255"
        />
      );
    default:
      return isWheel(attribute) ? (
        <Places
          type={type}
          channel={channel}
          job={job}
          onChange={onChange}
          label="Places in their order"
          example={attribute.startsWith('Color') ? 'open 0–9, red 10–19, blue 20–29' : 'open 0–9, dots 10–19, leaves 20–29'}
        />
      ) : null;
  }
}

interface EndsProps extends Pick<MeaningProps, 'job' | 'onChange'> {
  readonly label: string;
  readonly most: number;
}

function Ends({ label, job, most, onChange }: EndsProps) {
  return (
    <Typed
      label={label}
      value={`${job.physical[0]} to ${job.physical[1]}`}
      help={`Two different numbers up to ${most}, such as 1 to 20.`}
      onType={(text) => {
        const found = /^(\d{1,3}(?:[.,]\d+)?)\s*(?:to|–|-|…)\s*(\d{1,3}(?:[.,]\d+)?)/.exec(text.trim());
        const [from, to] = [found?.[1], found?.[2]].map((one) => Number(one?.replace(',', '.') ?? Number.NaN));
        if (from === undefined || to === undefined || !(from <= most && to <= most && from !== to)) return false;
        return onChange({ ...job, physical: [from, to] });
      }}
    />
  );
}

function Places({
  type,
  channel,
  job,
  onChange,
  label,
  example,
}: MeaningProps & { readonly label: string; readonly example: string }) {
  const [help, setHelp] = useState('');
  return (
    <Typed
      label={label}
      value={placesInWords(placesOf(job, channel, type))}
      most={2000}
      help={help}
      hint={`As the manual has it: ${example}${job.attribute === 'Shutter1' ? '' : '; without numbers they are dealt out evenly'}.`}
      onType={(text) => {
        const places = readPlaces(text);
        const next = typeof places === 'string' ? places : withPlaces(job, channel, places);
        if (typeof next === 'string') setHelp(next);
        else if (typeof places !== 'string') return onChange(next, wheelsWith(type, job, places));
        return false;
      }}
    />
  );
}

/** The wheels of a type with the names of these places, and the colours where the names are of colours. */
function wheelsWith(
  { wheels }: FixtureType,
  { attribute }: ChannelFunction,
  places: readonly NamedPlace[],
): FixtureType['wheels'] | undefined {
  if (!isWheel(attribute)) return undefined;
  // Of prisms those alone that part the light: the first place is none.
  const own = attribute === 'Prism1' ? places.slice(1) : places;
  if (own.length === 0) return undefined;
  const slots = own.map(({ name }) => {
    const colour = attribute.startsWith('Color') ? colourOf(name) : undefined;
    return { name, ...(colour === undefined ? {} : { colour }) };
  });
  return { ...wheels, [attribute]: slots };
}

/** The colour that a name says: open is white, `light blue` a colour of the web, `warm white` one by its temperature. */
function colourOf(name: string): string | undefined {
  if (/^(open|clear|white|no colou?r)\b/i.test(name)) return '#ffffff';
  const read = readColour(name, named) ?? readColour(name.split(/\s+/).at(-1) ?? '', named);
  return read !== undefined && /^#[0-9a-f]{6}$/i.test(read) ? read : undefined;
}
