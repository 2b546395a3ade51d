import { listed } from '../core/words.ts';
import { isAway, isOn, type PlayState } from '../playback/state.ts';
import { itemKey, type Show } from '../show/document.ts';
import { isEmpty } from '../show/empty.ts';
import { faultsOf } from '../show/faults.ts';
import { listOf } from '../show/things.ts';
import type { Opened } from '../store/shelf.ts';
import type { Control } from './control.ts';
import type { Opening } from './shelf-contract.ts';

/** What becomes of the light where another show is opened, in sentences. What a person has set outlives it, as `changeShow` has it. */
export function openingOf(
  { show, state }: Pick<Control, 'show' | 'state'>,
  { playable, draft, held }: Opened,
  now: number,
): Opening {
  const on = state.entries.filter((entry) => isOn(entry, now) && !isAway(entry));
  const names = [...new Set(on.map(({ item }) => show.items.get(item)?.name ?? item))];
  const stays = staysOf(state);
  return {
    name: draft.show.name,
    stops:
      names.length === 0
        ? 'Nothing is on just now, so nothing stops.'
        : `${listed(names)} of “${show.show.name}” ${names.length === 1 ? 'stops' : 'stop'}.`,
    starts: startsOf(playable.show),
    ...(stays === undefined ? {} : { stays }),
    ...(held !== undefined
      ? { draft: `What ${held} changed last is held back: it plays as it was before.` }
      : faultsOf(draft.show, 1).length === 0
        ? {}
        : { draft: isEmpty(playable.show) ? NOT_YET : OLDER }),
  };
}

function startsOf(show: Show): string {
  if (isEmpty(show)) return 'It has no lights yet: the node sends nothing, and the room is dark but for other light.';
  const names = show.start.map((one) => {
    const [kind, id] = itemKey(one).split(':') as ['look' | 'chase' | 'movement' | 'hit', string];
    return listOf(show, kind).find((thing) => thing.id === id)?.name ?? id;
  });
  return names.length === 0
    ? 'It starts with nothing: the room is dark until somebody presses a button.'
    : `It starts with ${listed(names)}.`;
}

function staysOf({ blackout, all }: PlayState): string | undefined {
  if (blackout) return 'The blackout stays on: guests see nothing of it until it is taken off.';
  return all.to < 1 ? `The light of everything stays at ${Math.round(all.to * 100)} %.` : undefined;
}

const NOT_YET = 'It cannot be played yet: nothing plays until what is missing is there.';
const OLDER = 'Its newest state cannot be played yet: the last one that can plays.';
