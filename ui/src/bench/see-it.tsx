import { useComputed } from '@preact/signals';
import type { ButtonSummary } from '../../../node/api/contract.ts';
import { type ItemRef, itemKey, type Show } from '../../../node/show/document.ts';
import { Push } from '../parts/push.tsx';
import { startAskingForHaze, toggle, waiting } from '../presses.ts';
import { hello, isOpen, state } from '../state.ts';
import { buttonState } from '../tonight/button-state.ts';
import { HoldButton } from '../tonight/hold-button.tsx';
import { change, idAfter } from './edits.ts';
import { proposedLine } from './evening/evening-words.ts';
import { buttonFor } from './things/kinds.ts';

interface SeeItProps {
  readonly show: Show;
  readonly of: ItemRef;
  readonly name: string;
  /** Its button lets go of whatever else plays on its lights. */
  readonly alone: boolean;
}

/** Plays a thing on the lights by its button, and lets it go again; or gives it one. */
export function SeeIt({ show, of, name, alone }: SeeItProps) {
  const button = buttonFor(show, of);
  const summary = hello.value?.show.buttons.find(({ id }) => id === button?.id);
  if (button === undefined) return <Push onClick={() => void giveButton(show, of, name, alone)}>Give it a button</Push>;
  // What has just been made may not be playable yet: the node has no such button then.
  if (summary === undefined) return <p class="quiet">Its button comes when the show is playable.</p>;
  return (
    <div class="see-it">
      {summary.kind === 'hold' ? <HoldButton button={summary} /> : <Press button={summary} item={itemKey(of)} />}
    </div>
  );
}

function Press({ button, item }: { readonly button: ButtonSummary; readonly item: string }) {
  const real = useComputed(() => buttonState(state.value, button.id).state).value;
  const plays = useComputed(() => state.value?.playing.some((one) => one.item === item && one.state !== 'going') === true).value;
  const isOn = plays && (real === 'on' || real === 'coming');
  return (
    <Push
      disabled={!isOpen.value || waiting.value.has(button.id)}
      pressed={isOn}
      onClick={() => {
        startAskingForHaze(!isOn && button.haze, () => toggle(button.id, real));
      }}
    >
      {isOn ? 'Let it go' : 'Press its button'}
    </Push>
  );
}

/** Without a button nothing on Tonight starts a thing. It stands behind the others, under the name of the thing, with a line proposed from what that does. */
async function giveButton(show: Show, of: ItemRef, name: string, alone: boolean): Promise<void> {
  const { buttons } = show;
  const id = idAfter(name, buttons);
  // Two of one name no thumb could tell apart.
  const taken = (asked: string): boolean => buttons.some((one) => one.name.toLowerCase() === asked.toLowerCase());
  let own = name;
  for (let i = 2; taken(own); i++) own = `${name.slice(0, 74)} ${i}`;
  await change({
    do: 'add',
    kind: 'button',
    id,
    now: { id, name: own, line: proposedLine({ starts: [of] }, show), starts: [of], alone },
  });
}
