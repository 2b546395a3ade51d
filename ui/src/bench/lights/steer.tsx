import { useEffect, useId, useRef, useState } from 'preact/hooks';
import type { Angles, Part, Show } from '../../../../node/show/document.ts';
import { connection } from '../../connection.ts';
import { Push } from '../../parts/push.tsx';
import { tell } from '../../presses.ts';
import { isOpen } from '../../state.ts';
import { writeDegrees } from '../amounts.ts';
import { Chip } from '../inputs.tsx';
import { type Abilities, abilitiesOf } from '../parts/abilities.ts';
import type { Light } from './making.ts';
import { turnedBy } from './steering.ts';

interface SteerProps {
  readonly light: Light;
  readonly show: Show;
  readonly angles: Angles;
  readonly isOn: boolean;
  readonly onTurn: (angles: Angles) => void;
  readonly onSwitch: (on: boolean) => void;
}

/** Enough to see where it falls in a room at half light: of a level, which is lightness; a twelfth of its light. Common practice, no source. */
const WORKING = 0.35;
/** The node forgets what is not asked for again within three seconds. Milliseconds. */
const AGAIN = 1000;

/** One head, shining dimly and turned by a thumb. */
export function Steer({ light, show, angles, isOn, onTurn, onSwitch }: SteerProps) {
  const can = abilitiesOf([{ fixture: light.id }], show);
  const [step, setStep] = useState(5);
  const among = useId();
  const open = isOpen.value;
  useEffect(() => {
    if (!isOn || !open) return;
    const send = (): void => connection.sample({ changes: [], show: show.id, over: [steered(light.id, angles, can)] });
    send();
    const timer = setInterval(send, AGAIN);
    return () => clearInterval(timer);
  }, [isOn, open, light.id, show.id, angles.pan, angles.tilt]);
  useEffect(() => {
    if (!isOn) return;
    const out = (): void => {
      if (document.hidden) onSwitch(false);
    };
    document.addEventListener('visibilitychange', out);
    return () => {
      document.removeEventListener('visibilitychange', out);
      tell({ do: 'try' });
    };
  }, [isOn]);
  const latest = useRef(angles);
  latest.current = angles;
  const by = (pan: number, tilt: number) => (): void => {
    latest.current = turnedBy(latest.current, { pan: pan * step, tilt: tilt * step }, can.range('Pan'), can.range('Tilt'));
    onTurn(latest.current);
  };
  if (!isOn)
    return (
      <Push kind="main" disabled={!open} onClick={() => onSwitch(true)}>
        Light it and turn it there
      </Push>
    );
  return (
    <>
      <div class="steer">
        <Step label="Tilt up" at="up" act={by(0, 1)} />
        <Step label="Pan down" at="left" act={by(-1, 0)} />
        <p class="steer-at">
          <span>pan {writeDegrees(angles.pan)}</span>
          <span>tilt {writeDegrees(angles.tilt)}</span>
        </p>
        <Step label="Pan up" at="right" act={by(1, 0)} />
        <Step label="Tilt down" at="down" act={by(0, -1)} />
      </div>
      <fieldset>
        <legend>By</legend>
        {[5, 1, 0.1].map((one) => (
          <Chip key={one} label={writeDegrees(one)} among={among} isChosen={step === one} onChange={() => setStep(one)} />
        ))}
        <Push onClick={() => onSwitch(false)}>Light off</Push>
      </fieldset>
    </>
  );
}

/** It is meant to rest where it is pointed, open and as narrow as it goes. */
const steered = (fixture: string, aim: Angles, can: Abilities): Part => {
  const zoom = can.range('Zoom');
  return {
    ...{ who: [{ fixture }], brightness: 'best', level: WORKING, aim, focus: true },
    ...(zoom === undefined ? {} : { zoom: zoom[0] }),
    ...(can.has('Gobo1') ? { gobo: 1 } : {}),
  };
};

/** How long a thumb lies before a step repeats, and how often then. Milliseconds. */
const HELD = 400;
const EVERY = 120;

/** One step at a touch, and on while it is held; by keyboard one step at a press. */
function Step({ label, at, act }: { readonly label: string; readonly at: string; readonly act: () => void }) {
  const timer = useRef<number | undefined>(undefined);
  const newest = useRef(act);
  newest.current = act;
  const repeat = (): void => {
    newest.current();
    timer.current = window.setTimeout(repeat, EVERY);
  };
  const end = (): void => clearTimeout(timer.current);
  useEffect(() => end, []);
  return (
    <button
      type="button"
      class="push steer-step"
      data-at={at}
      onPointerDown={() => {
        newest.current();
        timer.current = window.setTimeout(repeat, HELD);
      }}
      onPointerUp={end}
      onPointerLeave={end}
      onPointerCancel={end}
      onContextMenu={(event) => event.preventDefault()}
      // A press by keyboard has no finger.
      onClick={({ detail }) => detail === 0 && act()}
    >
      {label}
    </button>
  );
}
