import { toldReports } from '../core/report.ts';
import type { Millis } from '../core/units.ts';
import type { Engine } from '../engine/engine.ts';
import type { Control } from './control.ts';
import type { Status } from './local-contract.ts';
import { stateOf } from './state.ts';

export interface NodeFacts {
  readonly name: string;
  readonly version: string;
  readonly startedAt: Millis;
  readonly rate: number;
}

/** Everything there is to know of a node at an instant. Levels are the bytes of the last whole frame. */
export function statusOf(control: Control, engine: Engine, node: NodeFacts, now: Millis): Status {
  const { show } = control.show;
  const { published, report } = engine;
  const { levels } = published;
  return {
    ...stateOf(control, report, now),
    node: { name: node.name, version: node.version, startedAt: node.startedAt },
    show: { id: show.id, name: show.name, revision: control.revision },
    frames: levels.frames(),
    rate: node.rate,
    universes: levels.universes.map((universe) => ({ universe, levels: [...levels.snapshot(universe)] })),
    outputs: toldReports(report?.outputs ?? []),
  };
}
