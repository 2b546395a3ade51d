import { useId, useLayoutEffect, useMemo } from 'preact/hooks';
import { movementProgram } from '../../../../node/playback/movement.ts';
import type { Aim, Movement, Show, Who } from '../../../../node/show/document.ts';
import { Push } from '../../parts/push.tsx';
import { state } from '../../state.ts';
import { HalveAndDouble, TapTempo } from '../../tonight/tempo.tsx';
import { countedIn, readStretch, writeStretch } from '../amounts.ts';
import { standing, waitsFor, want } from '../edits.ts';
import { Chip, Pull, Text, Tick } from '../inputs.tsx';
import { Metres } from '../metres.tsx';
import { abilitiesOf } from '../parts/abilities.ts';
import { AimFields } from '../parts/aim-fields.tsx';
import { Angle } from '../parts/angle.tsx';
import { ChooseLights } from '../parts/choose-lights.tsx';
import { lightsOf, toggled, withLight } from '../parts/lights.ts';
import { Notes } from '../parts/notes.tsx';
import { choosing, closeChoice } from '../parts/place.ts';
import { SeeIt } from '../see-it.tsx';
import { Sheet } from '../sheet.tsx';
import { Ending } from '../things/ending.tsx';
import { TIME_HELP, Times } from '../times.tsx';
import { readSeconds, whoInWords } from '../written.ts';
import './chases.css';
import { FigurePicture, FigureSign, figureNames } from './figure.tsx';

/** One movement, open to be changed. */
export function MovementSheet({ movement, show }: { readonly movement: Movement; readonly show: Show }) {
  const field = { kind: 'movement', id: movement.id } as const;
  const now = <Name extends keyof Movement>(name: Name): Movement[Name] => {
    const waits = waitsFor({ ...field, field: name });
    return waits === undefined ? movement[name] : (waits.now as Movement[Name]);
  };
  const set = <Name extends keyof Movement>(name: Name, value: Movement[Name], gesture?: string): void =>
    want({ ...field, field: name, now: value, ...(gesture === undefined ? {} : { gesture }) });
  const [who, figure, size, period, aim] = [now('who'), now('figure'), now('size'), now('period'), now('aim')];
  const [spread, mirror] = [now('spread'), now('mirror')];
  const names = { figure: useId(), counts: useId(), aim: useId() };
  const inBeats = 'beats' in period;
  const bpm = state.value?.bpm ?? show.tempo;
  const heads = useMemo(
    () =>
      lightsOf(who, show).filter(({ id }) => {
        const can = abilitiesOf([{ fixture: id }], show);
        return can.has('Pan') && can.has('Tilt');
      }).length,
    [who, show.fixtures, show.groups, show.fixtureTypes],
  );
  return (
    <Sheet name={movement.name} act={<SeeIt show={show} of={{ movement: movement.id }} name={movement.name} alone={false} />}>
      <div class="bench-row">
        <Text {...field} field="name" label="Name" value={movement.name} />
        <Text {...field} field="fade" label="Comes in over" value={`${movement.fade} s`} read={readSeconds} help={TIME_HELP} />
      </div>
      <h2>{whoInWords(who, show)}</h2>
      {who.length > 0 && heads === 0 && <p>None of these lights turns: choose others.</p>}
      <WhoMoves id={movement.id} who={who} show={show} />
      <fieldset class="figure-choice">
        <legend>Figure</legend>
        {(Object.keys(figureNames) as Movement['figure'][]).map((one) => (
          <Chip
            key={one}
            label={figureNames[one]}
            among={names.figure}
            isChosen={figure === one}
            onChange={() => set('figure', one)}
          >
            <FigureSign figure={one} />
          </Chip>
        ))}
      </fieldset>
      {figureHints[figure] !== undefined && <p class="quiet">{figureHints[figure]}</p>}
      <FigurePicture movement={{ figure, size, spread, mirror }} heads={heads} />
      <div class="bench-row">
        <SizeFields size={size} set={(now, by) => set('size', now, by)} />
        <Text
          {...field}
          field="period"
          label="Once round in"
          value={writeStretch(period)}
          read={(text) => readStretch(text, inBeats)}
          help={inBeats ? 'Beats such as 16 or 1/2.' : 'A time such as 24, 3,5 s or 1 min.'}
        />
      </div>
      <fieldset>
        <legend>Counts</legend>
        <Chip
          label="Beats, by the tempo"
          among={names.counts}
          isChosen={inBeats}
          onChange={() => set('period', countedIn(period, true, bpm))}
        />
        <Chip
          label="Seconds, by the clock"
          among={names.counts}
          isChosen={!inBeats}
          onChange={() => set('period', countedIn(period, false, bpm))}
        />
      </fieldset>
      {inBeats && (
        <div class="chase-tempo">
          <TapTempo />
          <HalveAndDouble />
        </div>
      )}
      <Pull label="Spread over the figure" value={spread} onPull={(level, gesture) => set('spread', level, gesture)} />
      <div class="choices">
        <Tick
          {...field}
          field="mirror"
          label="Every other head the other way"
          hint="from left to right as they are patched"
          value={mirror}
        />
      </div>
      <fieldset>
        <legend>Centre</legend>
        <Chip
          label="Wherever they are aimed"
          among={names.aim}
          isChosen={aim === undefined}
          onChange={() => set('aim', undefined)}
        />
        <Chip
          label="A place of its own"
          among={names.aim}
          isChosen={aim !== undefined}
          onChange={() => set('aim', aim ?? firstAim(show))}
        />
      </fieldset>
      {aim !== undefined && (
        <AimFields aim={aim} who={who} show={show} can={{ range: () => undefined }} set={(now, by) => set('aim', now, by)} />
      )}
      <Notes
        show={show}
        of={(reader) =>
          movementProgram({ ...movement, who: [...who], figure, size, period, aim } as Movement, reader, show.tempo).notes
        }
        on={[who, figure, size, period, aim, show.tempo]}
      />
      <Times field={field} thing={movement} />
      <Ending show={show} kind="movement" thing={movement} />
    </Sheet>
  );
}

/** Where a figure has a centre of its own: at the first place of the room that has a name, else straight out. */
const firstAim = ({ landmarks: [first] }: Show): Aim => (first === undefined ? { pan: 0, tilt: 30 } : { landmark: first.id });

/** What the figure does between heads. */
const figureHints: Readonly<Partial<Record<Movement['figure'], string>>> = {
  'cross-over': 'A sweep in which neighbours go against each other, so that their beams cross.',
  fan: 'The heads go from all together to as far apart as they go, and back. It needs two at least.',
};

/** How far the figure goes, as it is counted now: degrees of the axes, or metres in the room. */
function SizeFields({
  size,
  set,
}: {
  readonly size: Movement['size'];
  readonly set: (size: Movement['size'], by: string) => void;
}) {
  const among = useId();
  const isInMetres = 'width' in size;
  const turn = (now: Movement['size']): void => set(now, `size ${among}`);
  return (
    <>
      <fieldset>
        <legend>Size counts</legend>
        <Chip label="Degrees of the heads" among={among} isChosen={!isInMetres} onChange={() => turn({ pan: 20, tilt: 10 })} />
        <Chip label="Metres in the room" among={among} isChosen={isInMetres} onChange={() => turn({ width: 1.5, depth: 1.5 })} />
      </fieldset>
      {isInMetres ? (
        <>
          <Metres
            label="To the right and left of the centre, along x"
            value={size.width}
            range={[0, 50]}
            set={(width, by) => set({ ...size, width }, by)}
          />
          <Metres
            label="Ahead of it and behind, along y"
            value={size.depth}
            range={[0, 50]}
            set={(depth, by) => set({ ...size, depth }, by)}
          />
        </>
      ) : (
        <>
          <Angle label="Pan from the centre" value={size.pan} range={[0, 180]} set={(pan, by) => set({ ...size, pan }, by)} />
          <Angle label="Tilt from the centre" value={size.tilt} range={[0, 90]} set={(tilt, by) => set({ ...size, tilt }, by)} />
        </>
      )}
    </>
  );
}

/** Which lights move: from the list, or by a touch in the picture of the room. */
function WhoMoves({ id, who, show }: { readonly id: string; readonly who: readonly Who[]; readonly show: Show }) {
  const field = { kind: 'movement', id, field: 'who' } as const;
  const key = `movement ${id}`;
  const now = (): readonly Who[] => (waitsFor(field)?.now ?? standing(field) ?? []) as readonly Who[];
  const isOpen = choosing.value?.key === key;
  const open = (): void => {
    choosing.value = {
      key,
      isListed: true,
      who: now,
      touch: (light, rig) => want({ ...field, now: withLight(now(), light, rig) }),
    };
  };
  useLayoutEffect(() => {
    if (who.length === 0) open();
    return closeChoice;
  }, [id]);
  return (
    <div class="part-add">
      <Push pressed={isOpen} onClick={isOpen ? closeChoice : open}>
        Other lights
      </Push>
      {isOpen && (
        <ChooseLights
          who={who}
          show={show}
          onToggle={(one) => want({ ...field, now: toggled(now(), one) })}
          onLight={(light) => want({ ...field, now: withLight(now(), light, show) })}
        />
      )}
    </div>
  );
}
