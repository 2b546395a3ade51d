import { useMemo } from 'preact/hooks';
import { listed } from '../../../../node/core/words.ts';
import { rigOf } from '../../../../node/playback/compile.ts';
import { outOfReach } from '../../../../node/playback/out-of-reach.ts';
import type { Rig } from '../../../../node/rig/rig.ts';
import type { Show } from '../../../../node/show/document.ts';

interface ReachNoteProps {
  /** The lamps that are asked. */
  readonly show: Pick<Show, 'theme' | 'fixtures' | 'fixtureTypes'>;
  readonly value: string;
  /** In the sentence. */
  readonly called: string;
}

/** The rig of some lights; undefined while something keeps it from being one, which is said elsewhere. */
export function useRig({ fixtures, fixtureTypes }: Pick<Show, 'fixtures' | 'fixtureTypes'>): Rig | undefined {
  return useMemo(() => {
    try {
      return rigOf({ fixtures, fixtureTypes });
    } catch {
      return undefined;
    }
  }, [fixtures, fixtureTypes]);
}

/** Which lamps cannot give a colour, and what they show in its place; nothing where all can. */
export function ReachNote({ show, value, called }: ReachNoteProps) {
  const { theme } = show;
  const rig = useRig(show);
  const kinds = useMemo(() => (rig === undefined ? [] : outOfReach(theme, rig, value)), [theme, rig, value]);
  if (kinds.length === 0) return null;
  return (
    <p class="colour-reach">
      {kinds.slice(0, MOST).map(({ name, nearest }) => (
        <i key={name} style={{ background: `#${nearest.toString(16).padStart(6, '0')}` }} aria-hidden="true" />
      ))}
      {listed(kinds.slice(0, MOST).map(({ name, count }) => `${name} (${count})`))}
      {kinds.length > MOST ? ' and others' : ''} cannot reach {called}; the nearest is shown.
    </p>
  );
}

const MOST = 3;
