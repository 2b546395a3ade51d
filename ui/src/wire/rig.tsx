import { useComputed } from '@preact/signals';
import { useMemo } from 'preact/hooks';
import type { FixtureSummary } from '../../../node/api/contract.ts';
import { standings } from '../parts/address.ts';
import { Push } from '../parts/push.tsx';
import { asked, changedOnly, fixtures, found } from './page.ts';
import { Universe } from './universe.tsx';
import { lately } from './watching.ts';

/** All universes, one under the other. */
export function Rig() {
  const shown = useComputed(() => {
    const all = found.value.fixtures;
    return changedOnly.value ? all.filter(({ id }) => lately.value.has(id)) : all;
  }).value;
  const universes = useMemo(() => byUniverse(shown), [shown]);
  return (
    <div class="wire-rig">
      {universes.map(([universe, list]) => (
        <Universe key={universe} universe={universe} fixtures={list} />
      ))}
      {shown.length === 0 && <NoMatch />}
    </div>
  );
}

function byUniverse(list: readonly FixtureSummary[]): [number, FixtureSummary[]][] {
  const universes = new Map<number, FixtureSummary[]>();
  for (const fixture of list.flatMap(standings))
    universes.set(fixture.universe, [...(universes.get(fixture.universe) ?? []), fixture]);
  return [...universes].sort(([a], [b]) => a - b);
}

/** Says why nothing is here, and the way out. */
function NoMatch() {
  if (fixtures.value.length === 0) return <p>This show has no lights yet.</p>;
  const everything = (): void => {
    asked.value = '';
    changedOnly.value = false;
  };
  const { slot } = found.value;
  return (
    <div class="wire-none">
      {changedOnly.value ? (
        <p>No light {asked.value.trim() === '' ? '' : 'of these '}has changed in the last 3 seconds.</p>
      ) : (
        <p>
          {slot === undefined
            ? `No light is called “${asked.value.trim()}” or used for that.`
            : `No light of this show answers to ${asked.value.trim()}.`}
        </p>
      )}
      <Push onClick={everything}>Show all lights</Push>
    </div>
  );
}
