import { useId } from 'preact/hooks';
import type { Aim, Angles, Landmark, Show, Who } from '../../../../node/show/document.ts';
import { Chip } from '../inputs.tsx';
import type { Abilities, Range } from './abilities.ts';
import { Angle } from './angle.tsx';
import { lightsOf } from './lights.ts';

interface AimFieldsProps {
  readonly aim: Aim;
  readonly who: readonly Who[];
  readonly show: Show;
  readonly can: Pick<Abilities, 'range'>;
  readonly set: (aim: Aim, gesture?: string) => void;
}

const dealNames = { row: 'In a row', fan: 'Beside each other', grid: 'All over it' } as const;

/** Where heads look: at a place of the room, or by angles; those that have no place themselves always by angles. */
export function AimFields({ aim, who, show, can, set }: AimFieldsProps) {
  const among = useId();
  const angles: Angles = ('pan' in aim ? aim : aim.angles) ?? { pan: 0, tilt: 0 };
  const landmark = 'landmark' in aim ? show.landmarks.find(({ id }) => id === aim.landmark) : undefined;
  const isByAngles = 'pan' in aim;
  const { landmarks } = show;
  const someUnplaced = lightsOf(who, show).some(({ pose }) => pose === undefined);
  const named = landmarks.length > 0 || !isByAngles;
  return (
    <div class="part-where">
      {named && (
        <fieldset>
          <legend>Looks at</legend>
          {landmarks.map(({ id, name }) => (
            <Chip
              key={id}
              label={name}
              among={among}
              isChosen={'landmark' in aim && aim.landmark === id}
              onChange={() => set({ landmark: id, angles })}
            />
          ))}
          <Chip label="By angles" among={among} isChosen={isByAngles} onChange={() => set(angles)} />
        </fieldset>
      )}
      {'point' in aim && <p class="quiet">At a point of the room that has no name.</p>}
      {landmark?.area !== undefined && <Dealt aim={aim as Extract<Aim, { landmark: string }>} landmark={landmark} set={set} />}
      {(isByAngles || someUnplaced) && (
        <>
          {!isByAngles && <p class="quiet">Lights without a place in the room look by these angles.</p>}
          <AngleFields angles={angles} can={can} set={(now, by) => set(isByAngles ? now : { ...aim, angles: now }, by)} />
        </>
      )}
    </div>
  );
}

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
