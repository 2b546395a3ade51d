import { effect, signal } from '@preact/signals';
import type { ButtonState } from '../../node/api/contract.ts';
import type { Command } from '../../node/core/commands.ts';
import { connection } from './connection.ts';
import { may, notice, state } from './state.ts';
import { done, over, sent, stateCame, type WaitingList } from './waiting.ts';

/** A thumb that bounces must not take back what it has just asked for. */
const BOUNCE = 350;
/** A state comes with every change; where nothing changed, none comes, and `done` alone has to do. */
const NO_STATE_WITHIN = 300;
const NOTICE_STAYS = 6000;

export const waiting = signal<WaitingList>(new Map());
let token = 0;
const lastPress = new Map<string, number>();

effect(() => {
  state.value;
  waiting.value = stateCame(waiting.peek());
});

/** Presses a button, or lets it go if it is on or on its way. */
export function toggle(button: string, shown: ButtonState['state']): void {
  const now = performance.now();
  if (waiting.value.has(button) || now - (lastPress.get(button) ?? -BOUNCE) < BOUNCE) return;
  lastPress.set(button, now);
  buzz(12);
  pressed(button);
  ask(button, { do: shown === 'on' || shown === 'coming' ? 'release' : 'press', button });
}

/** Sends what a finger on `button` means, and shows it as waiting until the node has answered. */
export function ask(button: string, command: Command): void {
  const mine = ++token;
  waiting.value = sent(waiting.value, button, mine);
  connection.send(command, saidLate).then(
    () => {
      waiting.value = done(waiting.value, button, mine);
      setTimeout(() => {
        waiting.value = over(waiting.value, button, mine);
      }, NO_STATE_WITHIN);
    },
    (error: Error) => {
      waiting.value = over(waiting.value, button, mine);
      say(error.message);
    },
  );
}

/** Sends a command that has no button; what goes wrong is said. */
export function tell(command: Command): void {
  connection.send(command, saidLate).catch((error: Error) => say(error.message));
}

/** An answer that comes late is an answer: what was said of it before does not stand. */
const saidLate = (): void => say('The node was slow; it has done it now.');

/** What would put haze into the air, and waits for a person's word on it. */
export const hazeAsked = signal<(() => void) | undefined>(undefined);

/** Starts something, after asking whether the venue permits haze where it is the first haze of a night. */
export function startAskingForHaze(haze: boolean | undefined, start: () => void): void {
  if (haze !== true || state.peek()?.hazeAllowed !== false) start();
  else if (may('allow-haze')) hazeAsked.value = start;
  else say('Haze has not been allowed tonight: an operator must say that the venue permits it.');
}

const RECENT = 12;
/** Ids of the buttons that were pressed here last, newest first. */
export const recent = signal<readonly string[]>([]);
function pressed(button: string): void {
  recent.value = [button, ...recent.value.filter((one) => one !== button)].slice(0, RECENT);
}

let leaves: number | undefined;
export function say(text: string): void {
  notice.value = text;
  clearTimeout(leaves);
  leaves = setTimeout(() => {
    notice.value = undefined;
  }, NOTICE_STAYS);
}

/** The keys that press what has the focus. */
export const isPressKey = ({ key }: KeyboardEvent): boolean => key === ' ' || key === 'Enter';

/** Where the browser lets a page shake the phone. */
export function buzz(millis: number): void {
  navigator.vibrate?.(millis);
}
