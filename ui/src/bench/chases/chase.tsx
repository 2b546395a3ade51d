import { useId, useState } from 'preact/hooks';
import type { Chase, Show } from '../../../../node/show/document.ts';
import { Order } from '../../parts/order.tsx';
import { Push } from '../../parts/push.tsx';
import { state } from '../../state.ts';
import { HalveAndDouble, TapTempo } from '../../tonight/tempo.tsx';
import { lengthOf, readShare, readStretch, writeShare, writeStretch } from '../amounts.ts';
import { FlashCaution } from '../cautions.tsx';
import { waitsFor } from '../edits.ts';
import { Chip, Text } from '../inputs.tsx';
import { Parts } from '../parts/part-sheet.tsx';
import { changeList, stepsField } from '../parts/place.ts';
import { SeeIt } from '../see-it.tsx';
import { Sheet } from '../sheet.tsx';
import { Ending } from '../things/ending.tsx';
import { TIME_HELP, Times } from '../times.tsx';
import { reading, Typed } from '../typed.tsx';
import { readSeconds } from '../written.ts';
import './chases.css';
import { addedBehind, allCountedIn, isInBeats, mirrored, moved, newStep, reversed, type Step, withStep } from './steps.ts';
import { StepStrip } from './strip.tsx';

/** Steps that follow each other faster than this, in seconds, flash. */
const FAST = 0.5;

type MakeSteps = (steps: readonly Step[]) => readonly Step[];

/** One chase, open to be changed. */
export function ChaseSheet({ chase, show }: { readonly chase: Chase; readonly show: Show }) {
  const field = { kind: 'chase', id: chase.id } as const;
  const steps = (waitsFor({ ...field, field: 'steps' })?.now ?? chase.steps) as readonly Step[];
  const [chosen, setChosen] = useState(0);
  const at = Math.max(0, Math.min(chosen, steps.length - 1));
  const step = steps[at];
  const bpm = state.value?.bpm ?? show.tempo;
  const inBeats = steps.length === 0 || steps.every(({ length }) => 'beats' in length);
  const set = (make: MakeSteps, gesture?: string): void => changeList(stepsField(chase.id), make, gesture);
  const shortest = Math.min(...steps.map(({ length }) => lengthOf(length) * ('beats' in length ? 60 / bpm : 1)));
  const addStep = (): void => {
    set((all) => addedBehind(all, at, newStep(all[at], sameLights(all[at]))));
    setChosen(steps.length === 0 ? 0 : at + 1);
  };
  return (
    <Sheet name={chase.name} act={<SeeIt show={show} of={{ chase: chase.id }} name={chase.name} alone={isWhole(steps)} />}>
      <div class="bench-row">
        <Text {...field} field="name" label="Name" value={chase.name} />
        <Text {...field} field="fade" label="Comes in over" value={`${chase.fade} s`} read={readSeconds} help={TIME_HELP} />
      </div>
      <CountedIn steps={steps} onChange={(beats) => set((all) => allCountedIn(all, beats, bpm))} />
      {inBeats && (
        <div class="chase-tempo">
          <TapTempo />
          <HalveAndDouble />
        </div>
      )}
      {steps.length === 0 ? (
        <p>It has no steps yet. It needs two, to go from one to the other.</p>
      ) : (
        <StepStrip
          steps={steps}
          at={at}
          show={show}
          onChoose={setChosen}
          onLength={(length, gesture) => set((all) => withStep(all, at, { length }), gesture)}
        />
      )}
      <div class="bench-row">
        <Push onClick={addStep}>Add a step</Push>
        <Push disabled={steps.length < 2} onClick={() => set(reversed)}>
          Run it backwards
        </Push>
        <Push disabled={steps.length === 0} onClick={() => set((all) => mirrored(all, show))}>
          Swap left and right
        </Push>
      </div>
      <p class="quiet">
        Left and right: each light changes places with the one opposite, of those for the same use the first with the last and so on
        inwards, as they stand in the picture. Several colours run the other way. Aims stay.
      </p>
      {shortest < FAST && <FlashCaution />}
      {step !== undefined && (
        <StepSheet key={at} chase={chase.id} step={step} at={at} count={steps.length} show={show} set={set} onChoose={setChosen} />
      )}
      <Times field={field} thing={chase} />
      <Ending show={show} kind="chase" thing={chase} />
    </Sheet>
  );
}

/** The lights of a step, lit a little: a step that names none keeps the show from being played. */
const sameLights = (step: Step | undefined): Step['parts'] =>
  step === undefined || step.parts.length === 0
    ? [{ who: [{ all: true }], brightness: 'best', level: 0.5 }]
    : step.parts.map(({ who }) => ({ who, brightness: 'best', level: 0.5 }));

/** Whether it lights its lights by itself: one that leaves their level to what plays below would go dark alone. */
const isWhole = (steps: readonly Step[]): boolean => steps.every(({ parts }) => parts.every(({ level }) => level !== undefined));

/** All steps count the same: beats by the tempo, or seconds by the clock. */
function CountedIn({ steps, onChange }: { readonly steps: readonly Step[]; readonly onChange: (beats: boolean) => void }) {
  const name = useId();
  const [beats, mixed] = [isInBeats(steps), new Set(steps.map(({ length }) => 'beats' in length)).size > 1];
  return (
    <fieldset>
      <legend>{mixed ? 'Some steps count beats and some seconds: choose one for all' : 'Counts'}</legend>
      <Chip label="Beats, by the tempo" among={name} isChosen={!mixed && beats} onChange={() => onChange(true)} />
      <Chip label="Seconds, by the clock" among={name} isChosen={!mixed && !beats} onChange={() => onChange(false)} />
    </fieldset>
  );
}

interface StepSheetProps {
  readonly chase: string;
  readonly step: Step;
  readonly at: number;
  readonly count: number;
  readonly show: Show;
  readonly set: (make: MakeSteps, gesture?: string) => void;
  readonly onChoose: (at: number) => void;
}

function StepSheet({ chase, step, at, count, show, set, onChoose }: StepSheetProps) {
  const inBeats = 'beats' in step.length;
  const go = (_: number, by: -1 | 1): void => {
    set((all) => moved(all, at, by));
    onChoose(at + by);
  };
  return (
    <section class="chase-step" aria-labelledby="chase-step">
      <h2 id="chase-step">
        Step {at + 1} of {count}
      </h2>
      <div class="bench-row">
        <Typed
          key={`lasts ${at}`}
          label="Lasts"
          value={writeStretch(step.length)}
          onType={reading({
            read: (text) => readStretch(text, inBeats),
            write: writeStretch,
            onRead: (length, gesture) => set((all) => withStep(all, at, { length }), gesture),
          })}
          help={
            inBeats
              ? 'Beats such as 1, 1/2 or 0.25: this chase counts beats.'
              : 'A time such as 2, 3,5 s or 1 min: this chase counts seconds.'
          }
        />
        <Typed
          key={`fades ${at}`}
          label="Fades over its first"
          value={writeShare(step.fade)}
          onType={reading({
            read: readShare,
            write: writeShare,
            onRead: (fade, gesture) => set((all) => withStep(all, at, { fade }), gesture),
          })}
          help="A share such as 50 % or 1/2; 0 % comes at once."
        />
      </div>
      <Parts place={{ kind: 'chase', id: chase, step: at }} parts={step.parts} show={show} />
      <div class="bench-row chase-step-row">
        <Order name={`Step ${at + 1}`} mark="step" at={at} count={count} onMove={go} />
        <Push
          label={`Make another like step ${at + 1}`}
          onClick={() => {
            set((all) => addedBehind(all, at, step));
            onChoose(at + 1);
          }}
        >
          Make another
        </Push>
        <Push
          label={`Take out step ${at + 1}`}
          onClick={() => {
            set((all) => all.filter((_, i) => i !== at));
            onChoose(Math.max(0, at - 1));
          }}
        >
          Take out
        </Push>
      </div>
    </section>
  );
}
