import { patchFaults, typeFaults } from './check-patch.ts';
import { referenceFaults } from './check-references.ts';
import { weightFaults } from './check-weight.ts';
import type { Show } from './document.ts';
import type { Fault } from './places.ts';

/** More than anybody looks at; the others turn up when these are mended. */
const MOST_FAULTS = 200;

/** Names that lead nowhere, fixtures that overlap, things that are still empty or would be too heavy to play. */
function* allFaults(show: Show): Generator<Fault> {
  yield* referenceFaults(show);
  yield* typeFaults(show);
  yield* patchFaults(show);
  yield* weightFaults(show);
}

/** What keeps a draft from being played, at most the first `most` of it; a show without faults can be compiled. */
export function faultsOf(show: Show, most = MOST_FAULTS): Fault[] {
  const found: Fault[] = [];
  for (const fault of allFaults(show)) if (found.push(fault) === most) break;
  return found;
}
