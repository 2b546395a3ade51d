import type { Command } from '../core/commands.ts';
import { type Millis, toMillis } from '../core/units.ts';
import type { CompiledShow } from './compile.ts';
import { isOn } from './stack.ts';
import { type PlayState, progress } from './state.ts';

/** A remote beats once a second; a hit whose holder has missed three is let go. */
const HIT_SILENCE: Millis = 3000;
/** Time in which the fallback takes the picture over, and in which it comes back after a resume. */
const FALL: Millis = 1000;
const RETURN: Millis = 2000;

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
  if (now - lastSign >= HIT_SILENCE && state.entries.some((entry) => isHit(show, entry.item) && isOn(entry, now))) return letGo;
  const { fallsBackAt } = watchOf(show, state, lastSign, now);
  return fallsBackAt !== undefined && now >= fallsBackAt ? fallBack : undefined;
}

export const isHit = (show: CompiledShow, item: PlayState['entries'][number]['item']): boolean =>
  show.items.get(item)?.kind === 'hit';

export const isFallen = ({ fallback }: PlayState): boolean => fallback !== undefined && fallback.resumedAt === undefined;

/** How far the fallback has taken the picture over, 0..1. */
export function fallenShare({ fallback }: PlayState, now: Millis): number {
  if (fallback === undefined) return 0;
  const fallen = progress(fallback.at, FALL, now);
  return fallback.resumedAt === undefined ? fallen : fallen * (1 - progress(fallback.resumedAt, RETURN, now));
}
