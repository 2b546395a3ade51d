import { useMemo, useState } from 'preact/hooks';
import { calibrate, FEWEST_MARKS, type Mark } from '../../../../node/plan/aim/calibrate.ts';
import type { Point } from '../../../../node/rig/pose.ts';
import type { Show } from '../../../../node/show/document.ts';
import { Push } from '../../parts/push.tsx';
import { as } from '../../parts/spoken.tsx';
import { isOpen } from '../../state.ts';
import { writeDegrees } from '../amounts.ts';
import { draft } from '../draft.ts';
import { change } from '../edits.ts';
import { Chip } from '../inputs.tsx';
import { PointFields } from '../places/point-fields.tsx';
import { heldBy } from '../where/where.ts';
import { changing, type Light } from './making.ts';
import { goTo, lightsAt } from './place.ts';
import { Steer } from './steer.tsx';
import { anglesTo, fitInWords, headIn } from './steering.ts';
import '../places/places.css';

/** A known place of the room, as it is called. */
interface Known {
  readonly name: string;
  readonly at: Point;
}

/** A head is pointed at known places, and where it is follows from the angles that it took. */
export function PointSheet({ light, show }: { readonly light: Light; readonly show: Show }) {
  const [marks, setMarks] = useState<readonly (Mark & Known)[]>([]);
  const [target, setTarget] = useState<Known | undefined>(undefined);
  const [angles, setAngles] = useState(() => ({ pan: 0, tilt: 0 }));
  const [isSteered, setSteered] = useState(false);
  const { pose } = light;
  const { fixtureTypes } = show;
  const head = useMemo(() => headIn(light, fixtureTypes), [light, fixtureTypes]);
  const found = useMemo(
    () => (head === undefined || pose === undefined ? undefined : calibrate(head.fixture, head.lamp, marks, pose)),
    [head, pose, marks],
  );
  const choose = (one: Known): void => {
    setTarget(one);
    const likely = head && anglesTo(head, found?.pose ?? pose, one.at, angles);
    if (likely !== undefined) setAngles(likely);
  };
  const note = (): void => {
    if (target === undefined) return;
    setMarks([...marks.filter(({ name }) => name !== target.name), { ...target, angles }]);
    setTarget(undefined);
  };
  const take = async (): Promise<void> => {
    if (found !== undefined && (await change(...changing(light, { ...light, pose: found.pose })))) goTo('light', light.id);
  };
  const back = (
    <a class="push" href={lightsAt('light', light.id)}>
      Back to {light.name}
    </a>
  );
  const hindrance = hindranceOf(light, head !== undefined);
  return (
    <section class="point-at" aria-labelledby="bench-point">
      <h1 id="bench-point" class="bench-title">
        Point {light.name} at known places
      </h1>
      {hindrance !== undefined ? (
        <>
          <p>{hindrance}</p>
          {back}
        </>
      ) : (
        <>
          <p class="quiet">
            Three or more, far apart. The head shines dimly over all that plays, and turns: nobody may reach into it or look into
            its light. It goes out when you leave this page.
          </p>
          <fieldset>
            <legend>Which place</legend>
            {show.landmarks.map(({ id, name, x, y, z }) => (
              <Chip
                key={id}
                label={marks.some((one) => one.name === name) ? `${name}, noted` : name}
                among="point-at"
                isChosen={target?.name === name}
                onChange={() => choose({ name, at: { x, y, z } })}
              />
            ))}
            <Chip
              label="Another point"
              among="point-at"
              isChosen={target?.name.startsWith(TYPED) === true}
              onChange={() => choose({ name: `${TYPED} ${marks.length + 1}`, at: { x: 0, y: 0, z: 0 } })}
            />
          </fieldset>
          {target?.name.startsWith(TYPED) === true && (
            <PointFields
              point={target.at}
              set={(along, value) => {
                const next = { ...target, at: { ...target.at, [along]: value } };
                // What a thumb has turned it to stays.
                if (isSteered) setTarget(next);
                else choose(next);
              }}
            />
          )}
          {(target !== undefined || isSteered) && (
            <Steer light={light} show={show} angles={angles} isOn={isSteered} onTurn={setAngles} onSwitch={setSteered} />
          )}
          {target !== undefined && isSteered && (
            <Push kind="main" onClick={note}>
              It points at {target.name.startsWith(TYPED) ? 'this point' : target.name}
            </Push>
          )}
          {marks.length > 0 && (
            <ol {...as.list} class="point-marks" aria-label="Noted">
              {marks.map(({ name, angles: { pan, tilt } }, i) => (
                <li key={name}>
                  <span>
                    <strong>{name}</strong>{' '}
                    <span class="quiet">
                      pan {writeDegrees(pan)}, tilt {writeDegrees(tilt)}
                      {found !== undefined && `; missed by ${Math.round((found.misses[i] ?? 0) * 100)} cm`}
                    </span>
                  </span>
                  <Push label={`Leave out ${name}`} onClick={() => setMarks(marks.filter((one) => one.name !== name))}>
                    Leave out
                  </Push>
                </li>
              ))}
            </ol>
          )}
          <p role="status">
            {found === undefined ? `${marks.length} of at least ${FEWEST_MARKS} places noted.` : fitInWords(found.misses)}
          </p>
          <div class="bench-row">
            <Push
              kind={target === undefined ? 'main' : 'plain'}
              disabled={!isOpen.value || found === undefined}
              onClick={() => void take()}
            >
              Take this over
            </Push>
            {back}
          </div>
        </>
      )}
    </section>
  );
}

const TYPED = 'Point';

/** Why it cannot be pointed just now, in a sentence. */
function hindranceOf({ pose }: Light, isHead: boolean): string | undefined {
  if (!isHead) return 'This light does not turn by pan and tilt.';
  if (pose === undefined) return 'First say roughly where it is, to a metre or so.';
  if (heldBy.value !== undefined) return 'What was changed only here must be shown in the room first.';
  return (draft.value?.faults.length ?? 0) > 0 ? 'The show must be playable first: something is missing in it.' : undefined;
}
