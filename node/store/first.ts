import type { Clock } from '../core/ports.ts';
import type { Millis } from '../core/units.ts';
import { type CompiledShow, compileShow } from '../playback/compile.ts';
import { pictureShow } from '../playback/picture.ts';
import { freshState, revive } from '../playback/reduce.ts';
import type { PlayState } from '../playback/state.ts';
import type { Beginning } from './beginning.ts';
import { stillKept } from './guard-memory.ts';
import type { Lost } from './lost.ts';
import type { Start } from './show-files.ts';
import type { StoredShow } from './shows.ts';

/** In which every head gets from one end of its ranges to the other. Common practice, no source. */
const HOMING: Millis = 4000;

/** What a node plays first. */
export interface First {
  /** 0: it is not in the store. */
  readonly revision: number;
  readonly outputs?: StoredShow['outputs'];
  readonly show: CompiledShow;
  readonly state: PlayState;
  /** The newest revision, where that is unfinished and an older one plays. */
  readonly draft?: StoredShow;
  /** Who holds that back from the lights. */
  readonly held?: string;
  /** What the disk did not tell any more. */
  readonly lost: readonly Lost[];
  /** What is written down of the start. */
  readonly start: Omit<Start, 'shows'>;
  /** What guards had counted in the run before and a restart must not forgive; undefined where that is not known, or long ago. */
  readonly kept: ReturnType<typeof stillKept>;
  /** Number of the newest row that the journal has, or had before it was lost; 0: none. */
  readonly row: number;
}

/** @param fresh start afresh instead of going on with what was on */
export function firstOf(begin: Beginning, fresh: boolean, clock: Clock): First {
  const { show: stored, draft, held, wasOn, picture, areSet, cid, file, lost, row } = begin;
  const now = clock.now();
  const kept = stillKept(begin.guards, clock.wall());
  // Sent where it was sent before, and dark as it was: the settings may be lost with the shows.
  const wasSentBy = areSet ? undefined : picture?.outputs;
  const wasDark = picture?.blackout ?? false;
  const start = { cid, ...(file === undefined ? {} : { file: { origin: file.origin, key: file.key } }) };
  if (stored === undefined) {
    const slots = picture?.universes.map((one) => ({ universe: one.universe, slots: Buffer.from(one.slots, 'base64') })) ?? [];
    const show = pictureShow(slots, picture === undefined ? 'No show' : 'The last picture');
    const state = { ...freshState(show, now), blackout: wasDark };
    return { revision: 0, show, state, lost, start, row, kept, ...(wasSentBy === undefined ? {} : { outputs: wasSentBy }) };
  }
  const { revision, outputs = wasSentBy } = stored;
  const show = compileShow(stored.show);
  // Nobody knows where the heads stand.
  const afresh = (): PlayState => ({ ...freshState(show, now), homing: { until: now + HOMING } });
  const asItWas = (): PlayState => {
    const state = wasOn === undefined ? afresh() : revive(show, wasOn, now, clock.wall());
    return { ...state, blackout: picture?.blackout ?? state.blackout };
  };
  return {
    revision,
    show,
    lost,
    start,
    row,
    kept,
    state: fresh ? afresh() : asItWas(),
    ...(outputs === undefined ? {} : { outputs }),
    ...(draft === undefined ? {} : { draft }),
    ...(held === undefined ? {} : { held }),
  };
}
