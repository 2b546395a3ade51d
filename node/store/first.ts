import { InputError, problemLine } from '../core/errors.ts';
import type { Clock } from '../core/ports.ts';
import { type CompiledShow, compileShow } from '../playback/compile.ts';
import { pictureShow } from '../playback/picture.ts';
import { freshState, revive } from '../playback/reduce.ts';
import type { PlayState } from '../playback/state.ts';
import type { Beginning } from './beginning.ts';
import { showOfFile } from './show-files.ts';
import type { StoredShow } from './shows.ts';

/** What a node plays first. */
export interface First {
  /** 0: it is not in the store. */
  readonly revision: number;
  readonly outputs?: StoredShow['outputs'];
  readonly show: CompiledShow;
  readonly state: PlayState;
  /** The newest revision, where that is unfinished and an older one plays. */
  readonly draft?: StoredShow;
}

export interface FirstParts {
  readonly folder: string;
  /** The show file that the node is started with. */
  readonly file: string | undefined;
  /** The invented show that a node plays which has never had one. */
  readonly demo: URL;
  /** Start afresh instead of going on with what was on. */
  readonly fresh: boolean;
  readonly clock: Clock;
  readonly log: (line: string) => void;
}

/**
 * The show of the file, else the one that played last; on a node that has never had one the demo; where every show is lost what went to the
 * wire last, or nothing.
 * @throws InputError for a file that cannot be played where there is nothing else to play.
 */
export function firstOf(begin: Beginning, parts: FirstParts): First {
  const stored = storedShow(begin, parts);
  const { clock, fresh } = parts;
  if (stored === undefined) {
    // Sent where it was sent before: the settings may be lost with the shows.
    const slots =
      begin.picture?.universes.map((one) => ({ universe: one.universe, slots: Buffer.from(one.slots, 'base64') })) ?? [];
    const show = pictureShow(slots, begin.picture === undefined ? 'No show' : 'The last picture');
    const outputs = begin.areSet ? undefined : begin.picture?.outputs;
    return { revision: 0, show, state: freshState(show, clock.now()), ...(outputs === undefined ? {} : { outputs }) };
  }
  const show = compileShow(stored.show);
  const wasOn = fresh || begin.show?.show.id !== stored.show.id ? undefined : begin.wasOn;
  const state = wasOn === undefined ? freshState(show, clock.now()) : revive(show, wasOn, clock.now(), clock.wall());
  return {
    revision: stored.revision,
    show,
    state,
    ...(stored.outputs === undefined ? {} : { outputs: stored.outputs }),
    ...(begin.draft?.show.id === stored.show.id ? { draft: begin.draft } : {}),
  };
}

function storedShow(begin: Beginning, { folder, file, demo, clock, log }: FirstParts): StoredShow | undefined {
  if (file !== undefined) {
    try {
      return showOfFile(folder, file, file, clock.wall());
    } catch (error) {
      if (!(error instanceof InputError) || begin.show === undefined) throw error;
      log(`${[error.message, ...error.problems.map(problemLine)].join('; ')}. What played last plays instead.`);
    }
  }
  return begin.show ?? (begin.isNew ? showOfFile(folder, demo, 'demo', clock.wall()) : undefined);
}
