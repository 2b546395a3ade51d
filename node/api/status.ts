import type { Millis } from '../core/units.ts';
import type { Engine } from '../engine/engine.ts';
import { isButtonOn } from '../playback/reduce.ts';
import { isOn, settle } from '../playback/stack.ts';
import { levelOf, weightOf } from '../playback/state.ts';
import type { Playing, Status } from './contract.ts';
import type { Control } from './control.ts';

export interface NodeFacts {
  readonly name: string;
  readonly version: string;
  readonly startedAt: Millis;
  readonly rate: number;
}

/** Everything there is to know of a node at an instant. Levels are the bytes of the last whole frame. */
export function statusOf(control: Control, engine: Engine, node: NodeFacts, now: Millis): Status {
  const { show } = control;
  const state = settle(show, control.state, now);
  return {
    node: { name: node.name, version: node.version, startedAt: node.startedAt },
    show: { id: show.show.id, name: show.show.name, revision: control.revision },
    playing: state.entries.map((entry): Playing => {
      const weight = weightOf(entry, now);
      return {
        item: entry.item,
        name: show.items.get(entry.item)?.name ?? entry.item,
        button: entry.button ?? null,
        state: !isOn(entry, now) ? 'going' : weight < 1 ? 'coming' : 'on',
        weight,
        startedAt: entry.startedAt,
      };
    }),
    buttons: show.show.buttons.map(({ id, name, line }) => ({ id, name, line, on: isButtonOn(show, state, id, now) })),
    masters: {
      all: levelOf(state.all, now),
      groups: Object.fromEntries(Object.entries(state.groups).map(([id, fade]) => [id, levelOf(fade, now)])),
    },
    blackout: state.blackout,
    bpm: state.tempo.bpm,
    frames: engine.levels.frames(),
    rate: node.rate,
    universes: engine.levels.universes.map((universe) => ({ universe, levels: [...engine.levels.snapshot(universe)] })),
    outputs: engine.report?.outputs ?? [],
  };
}
