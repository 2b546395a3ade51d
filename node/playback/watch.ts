import type { Command } from '../core/commands.ts';
import { type Millis, toMillis } from '../core/units.ts';
import type { CompiledShow } from './compile.ts';
import { isOn } from './stack.ts';
import { isFallen, type PlayState } from './state.ts';

/** A remote beats once a second; what a hand holds is let go when three beats are missed. */
export const SILENCE: Millis = 3000;

/**
 * How the watch over attended entries stands. `free`: nothing that plays needs anybody. `kept`: somebody is there. `warned`: nobody
 * has been heard of for the allowed time, the countdown runs until `fallsBackAt`. `fallen`: the fallback has come; it stays until resumed.
 */
export interface Watch {
  readonly phase: 'free' | 'kept' | 'warned' | 'fallen';
  /** Instant of the fallback unless somebody is heard of before; only while kept or warned. */
  readonly fallsBackAt?: Millis;
}

export function watchOf(show: CompiledShow, state: PlayState, lastSign: Millis, now: Millis): Watch {
  if (isFallen(state)) return { phase: 'fallen' };
  const attended = state.entries.some((entry) => isOn(entry, now) && !(show.items.get(entry.item)?.unattended ?? true));
  if (!attended) return { phase: 'free' };
  const { allow, countdown } = show.show.remoteWatch;
  const fallsBackAt = lastSign + toMillis(allow) + toMillis(countdown);
  return { phase: now - lastSign < toMillis(allow) ? 'kept' : 'warned', fallsBackAt };
}

const letGo: Command = { do: 'let-go' };
const fallBack: Command = { do: 'fall-back' };

/** What the engine must do by itself now because nobody is heard of, if anything. */
export function dueBySilence(show: CompiledShow, state: PlayState, lastSign: Millis, now: Millis): Command | undefined {
  if (now - lastSign >= SILENCE && state.entries.some((entry) => isHit(show, entry.item) && isOn(entry, now))) return letGo;
  const { fallsBackAt } = watchOf(show, state, lastSign, now);
  return fallsBackAt !== undefined && now >= fallsBackAt ? fallBack : undefined;
}

export const isHit = (show: CompiledShow, item: PlayState['entries'][number]['item']): boolean =>
  show.items.get(item)?.kind === 'hit';
