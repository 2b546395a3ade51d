import type { Published } from '../core/published.ts';
import type { Millis } from '../core/units.ts';
import { listed } from '../core/words.ts';
import { withoutMasters } from '../guards/masters.ts';
import type { CompiledShow } from '../playback/compile.ts';
import { named } from '../playback/left-out.ts';
import { groupLevel, levelOf, type PlayState } from '../playback/state.ts';
import { takenLook } from '../playback/taken-look.ts';
import type { TakenLook } from './edit-contract.ts';

/** What goes to the lights now as the parts of a look, without the masters that hold it back; nothing while another show is being taken over. */
export function seenLook(
  { show, rig, groups }: Pick<CompiledShow, 'show' | 'rig' | 'groups'>,
  state: PlayState,
  frame: Pick<Published['frame'], 'count' | 'length' | 'copy'>,
  now: Millis,
): TakenLook {
  const cells = Float64Array.from(rig.rest);
  if (frame.count() === 0 || frame.length !== cells.length) return { parts: [], left: [] };
  frame.copy(cells);
  const seen = takenLook(show, rig, cells);
  const all = levelOf(state.all, now);
  const group = (id: string): number => groupLevel(state, id, now);
  const down = [
    ...(all < 1 ? [toldOf('All lights', all)] : []),
    ...groups.flatMap(({ id, name, fixtures }) => (group(id) < 1 && fixtures.length > 0 ? [toldOf(name, group(id))] : [])),
  ];
  if (down.length === 0) return seen;
  const closed = withoutMasters({ groups }, rig, cells, { all, group });
  const { parts, left } = takenLook(show, rig, cells);
  const nameOf = (id: string): string => show.fixtures.find((one) => one.id === id)?.name ?? id;
  const dark =
    closed.length === 0
      ? []
      : [`A master is at 0 %, so what is on ${named(closed, nameOf)} is not known: in the look they are dark.`];
  return { parts, left: [...left, ...dark], held: { words: `Levels (${listed(down)})`, seen: seen.parts } };
}

const toldOf = (name: string, level: number): string => `${name} at ${Math.round(level * 100)} %`;
