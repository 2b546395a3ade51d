import { useMemo } from 'preact/hooks';
import { rigOf } from '../../../../node/playback/compile.ts';
import { PartReader } from '../../../../node/playback/parts.ts';
import type { Show } from '../../../../node/show/document.ts';
import { as } from '../../parts/spoken.tsx';

interface NotesProps {
  readonly show: Show;
  /** What is asked of the code that makes it ready. */
  readonly of: (reader: PartReader) => readonly string[];
  /** What the answer depends on, besides the show. */
  readonly on: readonly unknown[];
}

const MOST = 4;

/** What heads do otherwise than they are asked to, by the code that aims and moves them; nothing where they do all of it. */
export function Notes({ show, of, on }: NotesProps) {
  const { fixtures, fixtureTypes, groups, theme, landmarks } = show;
  const reader = useMemo(() => {
    try {
      return new PartReader({ fixtures, groups, theme, landmarks }, rigOf({ fixtures, fixtureTypes }));
    } catch {
      // What a lamp lacks is said elsewhere.
      return undefined;
    }
  }, [fixtures, fixtureTypes, groups, theme, landmarks]);
  const notes = useMemo(() => (reader === undefined ? [] : of(reader)), [reader, ...on]);
  if (notes.length === 0) return null;
  return (
    <ul {...as.list} class="aim-notes" aria-label="What they cannot do">
      {notes.slice(0, MOST).map((note) => (
        <li key={note}>{note}.</li>
      ))}
      {notes.length > MOST && <li>And {notes.length - MOST} more.</li>}
    </ul>
  );
}
