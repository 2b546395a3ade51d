import { useId } from 'preact/hooks';
import type { Aim, Angles, Landmark, Show, Who } from '../../../../node/show/document.ts';
import { addressOf } from '../../route.ts';
import { Chip } from '../inputs.tsx';
import { doesTurn } from '../lights/making.ts';
import { PointFields } from '../places/point-fields.tsx';
import type { Abilities, Range } from './abilities.ts';
import { Angle } from './angle.tsx';
import { lightsOf } from './lights.ts';
import '../places/places.css';

interface AimFieldsProps {
  readonly aim: Aim;
  readonly who: readonly Who[];
  readonly show: Show;
  readonly can: Pick<Abilities, 'range'>;
  readonly set: (aim: Aim, gesture?: string) => void;
}

const dealNames = { row: 'In a row, in their order', fan: 'In a row, no beam crossing', grid: 'In rows all over it' } as const;
const FORWARD: Angles = { pan: 0, tilt: 0 };

/** Where heads look: at a place of the room, at a point of it, or by angles; those that have no place themselves always by angles. */
export function AimFields({ aim, who, show, can, set }: AimFieldsProps) {
  const among = useId();
  const { landmarks } = show;
  const angles = 'pan' in aim ? aim : aim.angles;
  const landmark = 'landmark' in aim ? landmarks.find(({ id }) => id === aim.landmark) : undefined;
  const heads = lightsOf(who, show).filter((one) => doesTurn(one, show.fixtureTypes));
  const unplaced = heads.filter(({ pose }) => pose === undefined).length;
  // Whoever goes from one to the other and back finds the angles again.
  const kept = angles === undefined ? {} : { angles };
  return (
    <div class="part-where">
      <fieldset>
        <legend>Looks at</legend>
        {landmarks.map((one) => (
          <Chip
            key={one.id}
            label={one.name}
            among={among}
            isChosen={one === landmark}
            onChange={() => set({ landmark: one.id, ...kept })}
          />
        ))}
        <Chip
          label="A point of the room"
          among={among}
          isChosen={'point' in aim}
          onChange={() => set({ point: pointOf(landmark), ...kept })}
        />
        <Chip label="By angles" among={among} isChosen={'pan' in aim} onChange={() => set(angles ?? FORWARD)} />
      </fieldset>
      {landmarks.length === 0 && (
        <p class="quiet">
          The cake, the dance floor: what has a name can be looked at.{' '}
          <a class="push" href={addressOf('bench', 'places')}>
            Name places
          </a>
        </p>
      )}
      {'landmark' in aim && landmark === undefined && <p>That place is gone: choose another.</p>}
      {'point' in aim && (
        <PointFields point={aim.point} set={(along, value, by) => set({ ...aim, point: { ...aim.point, [along]: value } }, by)} />
      )}
      {'landmark' in aim && landmark?.area !== undefined && heads.length > 1 && <Dealt aim={aim} landmark={landmark} set={set} />}
      {'pan' in aim && <AngleFields angles={aim} can={can} set={set} />}
      {!('pan' in aim) && unplaced > 0 && (
        <>
          <p class="quiet">
            {unplaced === heads.length
              ? 'Nobody has said where these heads are, so they look by these angles:'
              : `Nobody has said where ${unplaced} of these heads are: those look by these angles.`}
          </p>
          <AngleFields angles={angles ?? FORWARD} can={can} set={(now, by) => set({ ...aim, angles: now }, by)} />
        </>
      )}
    </div>
  );
}

/** Where somebody who wants a point begins. */
const pointOf = (landmark: Landmark | undefined) =>
  landmark === undefined ? { x: 0, y: 0, z: 0 } : { x: landmark.x, y: landmark.y, z: landmark.z };

interface DealtProps {
  readonly aim: Extract<Aim, { landmark: string }>;
  readonly landmark: Landmark;
  readonly set: (aim: Aim) => void;
}

/** How heads are dealt out over an area. */
function Dealt({ aim, landmark, set }: DealtProps) {
  const among = useId();
  const { deal: _, ...middle } = aim;
  return (
    <fieldset>
      <legend>On {landmark.name}</legend>
      <Chip label="All at the middle" among={among} isChosen={aim.deal === undefined} onChange={() => set(middle)} />
      {(Object.keys(dealNames) as (keyof typeof dealNames)[]).map((deal) => (
        <Chip
          key={deal}
          label={dealNames[deal]}
          among={among}
          isChosen={aim.deal === deal}
          onChange={() => set({ ...aim, deal })}
        />
      ))}
    </fieldset>
  );
}

interface AngleFieldsProps {
  readonly angles: Angles;
  readonly can: Pick<Abilities, 'range'>;
  readonly set: (angles: Angles, gesture: string) => void;
}

const WIDEST = { Pan: [-540, 540], Tilt: [-270, 270] } as const satisfies Readonly<Record<string, Range>>;

const AngleFields = ({ angles, can, set }: AngleFieldsProps) => (
  <div class="part-aim">
    <Angle label="Pan" value={angles.pan} range={can.range('Pan') ?? WIDEST.Pan} set={(pan, by) => set({ ...angles, pan }, by)} />
    <Angle
      label="Tilt"
      value={angles.tilt}
      range={can.range('Tilt') ?? WIDEST.Tilt}
      set={(tilt, by) => set({ ...angles, tilt }, by)}
    />
  </div>
);
