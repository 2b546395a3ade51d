import { useId, useState } from 'preact/hooks';
import type { Pose } from '../../../../node/rig/pose.ts';
import type { Show } from '../../../../node/show/document.ts';
import { Push } from '../../parts/push.tsx';
import { isOpen } from '../../state.ts';
import { readDegrees, writeDegrees } from '../amounts.ts';
import { change, waitsFor, want } from '../edits.ts';
import { Chip } from '../inputs.tsx';
import { Axes, PointFields } from '../places/point-fields.tsx';
import { reading, Typed } from '../typed.tsx';
import { changing, doesTurn, type Light } from './making.ts';
import { lightsAt } from './place.ts';
import { type Placing, placedAlong } from './placing.ts';
import '../places/places.css';

interface WhereProps {
  readonly lights: readonly [Light, ...Light[]];
  readonly show: Show;
}

/** Where lights are in the room and how they are put up. It matters for those that turn; of others it can be said all the same. */
export function WhereItIs({ lights, show }: WhereProps) {
  const turns = lights.some((one) => doesTurn(one, show.fixtureTypes));
  const [light, ...others] = lights;
  const title = others.length === 0 ? 'Where it is' : 'Where they are';
  const lacking = lights.filter(({ pose }) => pose === undefined).length;
  const told = lacking === 0 ? 'said' : lacking === lights.length ? 'nobody has said' : `not said of ${lacking}`;
  const fields = (
    <>
      {lacking > 0 && (
        <p>
          Nobody has said where {others.length === 0 ? 'it is' : lacking === lights.length ? 'they are' : `${lacking} of them are`}.{' '}
          {turns
            ? 'Until then only angles can aim there, and no place of the room.'
            : 'A light that does not turn needs no place yet.'}
        </p>
      )}
      <Axes />
      {others.length === 0 && light.pose !== undefined ? (
        <Placed light={light} pose={light.pose} />
      ) : (
        <ToPlace key={lights.map(({ id }) => id).join(' ')} lights={lights} />
      )}
      {turns && others.length === 0 && light.pose !== undefined && (
        <p>
          <a class="push" href={lightsAt('point', light.id)}>
            Point it at known places
          </a>{' '}
          <span class="quiet">then where it is, and how it leans, follows from that to a few centimetres.</span>
        </p>
      )}
      {lacking < lights.length && (
        <Push
          disabled={!isOpen.value}
          onClick={() => void change(...lights.flatMap((one) => changing(one, { ...one, pose: undefined })))}
        >
          Forget {others.length === 0 ? 'where it is' : 'where they are'}
        </Push>
      )}
    </>
  );
  if (turns)
    return (
      <section class="where-it-is">
        <h2>{title}</h2>
        {fields}
      </section>
    );
  return (
    <details class="lights-adjust where-it-is">
      <summary>
        {title} <span class="quiet">{told}</span>
      </summary>
      {fields}
    </details>
  );
}

/** One that has a place: every field is changed by itself. */
function Placed({ light, pose: stands }: { readonly light: Light; readonly pose: Pose }) {
  const field = { kind: 'fixture', id: light.id, field: 'pose' } as const;
  const pose = (waitsFor(field)?.now as Pose | undefined) ?? stands;
  const set = (what: Partial<Pose>, gesture?: string): void =>
    want({ ...field, now: { ...pose, ...what }, ...(gesture === undefined ? {} : { gesture }) });
  return (
    <>
      <PointFields point={pose} set={(along, value, by) => set({ [along]: value }, by)} />
      <PutFields pose={pose} set={set} />
    </>
  );
}

/** Those that have none, or several at once: nothing is made up, so the place is put there when all of it is known. */
function ToPlace({ lights }: { readonly lights: WhereProps['lights'] }) {
  const many = lights.length > 1;
  const first = lights[0].pose;
  const last = lights.at(-1)?.pose;
  const [placing, setPlacing] = useState<Placing>({
    first: first ?? {},
    last: last ?? {},
    pose: first ?? { put: 'hung', facing: 90 },
  });
  const poses = placedAlong(placing, lights.length);
  const all = many ? 'They hang or stand' : 'It hangs or stands';
  const put = async (): Promise<void> => {
    if (poses !== undefined) await change(...lights.flatMap((one, i) => changing(one, { ...one, pose: poses[i] })));
  };
  return (
    <>
      {many && <p class="quiet">In a line from the first of the list to the last, as far from each other. All at one height.</p>}
      <PointFields
        point={{ ...placing.first, z: placing.pose.z }}
        {...(many ? { of: 'First', along: ['x', 'y'] } : {})}
        set={(along, value) =>
          setPlacing((now) =>
            along === 'z' ? { ...now, pose: { ...now.pose, z: value } } : { ...now, first: { ...now.first, [along]: value } },
          )
        }
      />
      {many && (
        <>
          <PointFields
            point={placing.last}
            of="Last"
            along={['x', 'y']}
            set={(along, value) => setPlacing((now) => ({ ...now, last: { ...now.last, [along]: value } }))}
          />
          <PointFields
            point={placing.pose}
            along={['z']}
            set={(along, value) => setPlacing((now) => ({ ...now, pose: { ...now.pose, [along]: value } }))}
          />
        </>
      )}
      <PutFields pose={placing.pose} set={(what) => setPlacing((now) => ({ ...now, pose: { ...now.pose, ...what } }))} />
      <Push disabled={!isOpen.value || poses === undefined} onClick={() => void put()}>
        {all} there
      </Push>
      {poses === undefined && <p class="quiet">First say x, y and z.</p>}
    </>
  );
}

const putNames = { hung: 'Hung, base up', standing: 'Standing, base down', sideways: 'Sideways, base at a wall' } as const;
const facings = [
  ['To the right', 0],
  ['Ahead', 90],
  ['To the left', 180],
  ['Back', -90],
] as const;
/** As the document has it. */
const MOST_LEAN = 90;

interface PutProps {
  readonly pose: Pick<Pose, 'put' | 'facing'> & Partial<Pose>;
  readonly set: (what: Partial<Pose>, gesture?: string) => void;
}

/** How something is put up, and where it looks from there. */
function PutFields({ pose, set }: PutProps) {
  const names = { put: useId(), facing: useId() };
  const { put, facing, forward = 0, aside = 0 } = pose;
  return (
    <>
      <fieldset>
        <legend>Put up</legend>
        {(Object.keys(putNames) as Pose['put'][]).map((one) => (
          <Chip key={one} label={putNames[one]} among={names.put} isChosen={put === one} onChange={() => set({ put: one })} />
        ))}
      </fieldset>
      <fieldset>
        <legend>Its front looks</legend>
        {facings.map(([label, degrees]) => (
          <Chip
            key={label}
            label={label}
            among={names.facing}
            isChosen={(facing - degrees) % 360 === 0}
            onChange={() => set({ facing: degrees })}
          />
        ))}
      </fieldset>
      <p class="quiet">
        {put === 'sideways'
          ? 'Sideways, that is where its light goes while pan and tilt are at 0.'
          : 'The front is the side to which its light goes when tilt turns up from 0 while pan is at 0.'}
      </p>
      <div class="bench-row">
        <Degrees
          label="Or in degrees, from x to the left"
          value={facing}
          most={360}
          set={(value, by) => set({ facing: value }, by)}
        />
        <Degrees
          label="Leans over its front by"
          value={forward}
          most={MOST_LEAN}
          set={(value, by) => set({ forward: value }, by)}
        />
        <Degrees
          label="Leans over its right side by"
          value={aside}
          most={MOST_LEAN}
          set={(value, by) => set({ aside: value }, by)}
        />
      </div>
    </>
  );
}

interface DegreesProps {
  readonly label: string;
  readonly value: number;
  readonly most: number;
  readonly set: (value: number, gesture: string) => void;
}

const Degrees = ({ label, value, most, set }: DegreesProps) => (
  <Typed
    label={label}
    value={writeDegrees(value)}
    onType={reading({ read: readDegrees(-most, most), write: writeDegrees, onRead: set })}
    help={`Degrees from ${writeDegrees(-most)} to ${writeDegrees(most)}.`}
  />
);
