import { effect } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import './where.css';
import type { ItemKey, Show } from '../../../../node/show/document.ts';
import { hazeAsked, startAskingForHaze, tell } from '../../presses.ts';
import { PaintedRoom, Room } from '../../room/room.tsx';
import { within } from '../../route.ts';
import { hello, isOpen, state } from '../../state.ts';
import { HazeQuestion } from '../../tonight/haze-question.tsx';
import { sent } from '../edits.ts';
import { pageOf } from '../pages.tsx';
import { RoomToChooseIn } from '../parts/chosen-lamps.tsx';
import { putsHaze } from './haze.ts';
import { drawHere, isOld, lampsHere, openThing } from './preview.ts';
import { begin, heldBy, leave, notShown, where, workHere, workOnLights } from './where.ts';

/** The room beside the bench: as it is lit, or as it would be. */
export function BenchRoom({ show, isPlayable }: { readonly show: Show; readonly isPlayable: boolean }) {
  const isHere = where.value === 'here';
  const open = openThing(show, within.value, pageOf);
  useEffect(() => {
    const settled = effect(begin);
    return () => {
      settled();
      leave();
    };
  }, []);
  return (
    <div class="bench-room">
      <div class="bench-picture" data-here={isHere}>
        {isHere ? (
          <RoomHere open={open} show={show} />
        ) : (
          <RoomToChooseIn show={show} fixtures={hello.value?.show.fixtures ?? []} room={(touch) => <Room onLamp={touch} />} />
        )}
      </div>
      <fieldset class="where">
        <legend class="spoken">Where what you change is seen</legend>
        <button type="button" class="push" aria-pressed={isHere} onClick={workHere}>
          Only here
        </button>
        {/* In its place, so that nothing moves under a thumb. */}
        {heldBy.value === undefined ? (
          <button type="button" class="push" aria-pressed={!isHere} onClick={() => void sent().then(workOnLights)}>
            On the lights
          </button>
        ) : (
          <button
            type="button"
            class="push main"
            disabled={!isOpen.value || !isPlayable}
            onClick={() => void sent().then(workOnLights)}
          >
            Show it in the room
          </button>
        )}
        {!isHere && open !== undefined && <Trial key={open.key} item={open.key} name={open.name} haze={putsHaze(show, open.key)} />}
      </fieldset>
      <HazeQuestion />
      <p class="quiet" aria-live="polite">
        {isHere ? <Here open={open?.name} isPlayable={isPlayable} /> : isPlayable ? AT_ONCE : NOT_YET}
      </p>
      {notShown.value !== undefined && (
        <p class="trouble" role="alert">
          {notShown.value}
        </p>
      )}
    </div>
  );
}

const AT_ONCE = 'Guests see at once what you change of what is on.';
const NOT_YET = 'Guests see nothing of what you change until the show is playable again.';

function Here({ open, isPlayable }: { readonly open: string | undefined; readonly isPlayable: boolean }) {
  const drawn = open === undefined ? 'Drawn: what is on, as it would look.' : `Drawn: “${open}” alone.`;
  const old = isOld.value ? ' What is unfinished is not in it yet.' : '';
  const by = heldBy.value === hello.value?.you.name ? 'you have' : `${heldBy.value} has`;
  const guests =
    heldBy.value === undefined
      ? 'Guests see nothing of what you change until it is shown.'
      : isPlayable
        ? `Guests do not see yet what ${by} changed.`
        : `Guests do not see yet what ${by} changed. Something is missing before it can be shown.`;
  return (
    <>
      {drawn}
      {old} {guests}
    </>
  );
}

/** Plays the open thing over what is on, until it is pressed again or left. */
function Trial({ item, name, haze }: { readonly item: ItemKey; readonly name: string; readonly haze: boolean }) {
  const isOn = state.value?.playing.some((one) => one.tried === true && one.item === item && one.state !== 'going') ?? false;
  const own = useRef(false);
  useEffect(
    () => () => {
      // A question that is left open is a no.
      hazeAsked.value = undefined;
      if (own.current) tell({ do: 'try' });
    },
    [],
  );
  return (
    <button
      type="button"
      class="push"
      aria-pressed={isOn}
      aria-label={isOn ? `Off again: ${name}` : `Play it: ${name}, over what is on`}
      disabled={!isOpen.value}
      onClick={() => {
        if (isOn) {
          own.current = false;
          tell({ do: 'try' });
        } else
          startAskingForHaze(haze, () => {
            own.current = true;
            tell({ do: 'try', item });
          });
      }}
    >
      {isOn ? 'Off again' : 'Play it'}
    </button>
  );
}

/** Drawn by the code that lights the room, in a thread of the browser. */
function RoomHere({ open, show }: { readonly open: ReturnType<typeof openThing>; readonly show: Show }) {
  const drawing = useRef<ReturnType<typeof drawHere> | undefined>(undefined);
  useEffect(() => {
    const own = drawHere();
    drawing.current = own;
    return () => own.end();
  }, []);
  useEffect(() => drawing.current?.watch(open?.key), [open?.key]);
  const label = open === undefined ? 'The room as it would look' : `The room as it would look: ${open.name}`;
  return (
    <RoomToChooseIn
      show={show}
      fixtures={lampsHere.value}
      room={(touch) => <PaintedRoom label={label} fixtures={lampsHere.value} onLamp={touch} />}
    />
  );
}
