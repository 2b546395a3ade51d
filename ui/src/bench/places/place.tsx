import { useId } from 'preact/hooks';
import type { Landmark, Show } from '../../../../node/show/document.ts';
import { readDegrees, writeDegrees } from '../amounts.ts';
import { type Field, waitsFor, want } from '../edits.ts';
import { Chip, Text } from '../inputs.tsx';
import { Metres } from '../metres.tsx';
import { Sheet } from '../sheet.tsx';
import { Ending } from '../things/ending.tsx';
import { reading, Typed } from '../typed.tsx';
import { Axes, PointFields } from './point-fields.tsx';
import { TopView } from './top-view.tsx';

/** One place of the room, open to be changed. */
export function PlaceSheet({ place, show }: { readonly place: Landmark; readonly show: Show }) {
  const field = (name: keyof Landmark): Field => ({ kind: 'landmark', id: place.id, field: name });
  const now = <Name extends keyof Landmark>(name: Name): Landmark[Name] => {
    const waits = waitsFor(field(name));
    return waits === undefined ? place[name] : (waits.now as Landmark[Name]);
  };
  const set = (name: keyof Landmark, value: unknown, gesture?: string): void =>
    want({ ...field(name), now: value, ...(gesture === undefined ? {} : { gesture }) });
  const [area, people] = [now('area'), now('people')];
  const among = useId();
  return (
    <Sheet name={place.name}>
      <Text {...field('name')} label="Name" value={place.name} />
      <h2>Where it is</h2>
      <Axes />
      <PointFields point={{ x: now('x'), y: now('y'), z: now('z') }} set={set} />
      <TopView show={show} chosen={place.id} />
      <fieldset>
        <legend>How large</legend>
        <Chip label="A point" among={among} isChosen={area === undefined} onChange={() => set('area', undefined)} />
        <Chip
          label="An area around it"
          among={among}
          isChosen={area !== undefined}
          onChange={() => set('area', area ?? { width: 3, depth: 3, turned: 0 })}
        />
      </fieldset>
      {area !== undefined && (
        <>
          <AreaFields area={area} set={(next, by) => set('area', next, by)} />
          <PeopleFields people={people} set={(next, by) => set('people', next, by)} />
        </>
      )}
      <Ending show={show} kind="landmark" thing={place} />
    </Sheet>
  );
}

type Area = NonNullable<Landmark['area']>;

const AreaFields = ({ area, set }: { readonly area: Area; readonly set: (area: Area, gesture: string) => void }) => (
  <div class="bench-row">
    <Metres label="Wide, along x" value={area.width} range={[0.1, 1000]} set={(width, by) => set({ ...area, width }, by)} />
    <Metres label="Deep, along y" value={area.depth} range={[0.1, 1000]} set={(depth, by) => set({ ...area, depth }, by)} />
    <Typed
      label="Turned to the left by"
      value={writeDegrees(area.turned)}
      onType={reading({ read: readDegrees(-360, 360), write: writeDegrees, onRead: (turned, by) => set({ ...area, turned }, by) })}
      help="Degrees from −360° to 360°, against the clock seen from above."
    />
  </div>
);

interface PeopleFieldsProps {
  readonly people: Landmark['people'];
  readonly set: (people: Landmark['people'], gesture?: string) => void;
}

/** Where eyes may be over an area: what keeps a beam from resting there goes by it. */
function PeopleFields({ people, set }: PeopleFieldsProps) {
  const among = useId();
  const heights = typeof people === 'object' ? people : undefined;
  return (
    <>
      <fieldset>
        <legend>Who is there</legend>
        <Chip label="People, as on any floor" among={among} isChosen={people === undefined} onChange={() => set(undefined)} />
        <Chip label="Nobody" among={among} isChosen={people === 'none'} onChange={() => set('none')} />
        <Chip
          label="People higher or lower"
          among={among}
          isChosen={heights !== undefined}
          onChange={() => set(heights ?? { from: 1.6, to: 2.7 })}
        />
      </fieldset>
      <p class="quiet">
        {people === 'none'
          ? 'Beams may rest over it: say so only where nobody can come during the night.'
          : heights === undefined
            ? 'Eyes are taken to be 0.8 to 1.9 m above the floor: a beam that rests there is dimmed.'
            : 'As on a stage or a balcony. Eyes are between these heights above the floor: a beam that rests there is dimmed.'}
      </p>
      {heights !== undefined && (
        <div class="bench-row">
          <Metres
            label="Eyes from"
            value={heights.from}
            range={[-1000, heights.to - 0.01]}
            set={(from, by) => set({ ...heights, from }, by)}
          />
          <Metres
            label="Eyes to"
            value={heights.to}
            range={[heights.from + 0.01, 1000]}
            set={(to, by) => set({ ...heights, to }, by)}
          />
        </div>
      )}
    </>
  );
}
