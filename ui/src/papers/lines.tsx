import type { FixtureSummary } from '../../../node/api/contract.ts';
import { linesOf, TERMINATOR, UNIT_LOADS } from '../../../node/plan/patch/lines.ts';

/** How many cable runs it takes, each lamp counted as one unit load. */
export function Lines({ lamps }: { readonly lamps: readonly FixtureSummary[] }) {
  const lines = linesOf(lamps);
  const several = (universe: number): boolean => lines.some((line) => line.universe === universe && line.number > 1);
  return (
    <section class="papers-lines">
      <h2>Lines</h2>
      <ul>
        {lines.map(({ universe, number, lamps: on }) => (
          <li key={`${universe}.${number}`}>
            Universe {universe}
            {several(universe) && `, line ${number}`}: {on.length} of {UNIT_LOADS} unit loads, {ends(on)}
          </li>
        ))}
      </ul>
      <p>
        {TERMINATOR} More than {UNIT_LOADS} on a line, or a branch, needs a splitter.
      </p>
    </section>
  );
}

function ends(lamps: readonly FixtureSummary[]): string {
  const [first, last] = [lamps[0]?.name, lamps.at(-1)?.name];
  return lamps.length === 1 ? `${first}` : `${first} to ${last}`;
}
