import { useEffect, useMemo, useState } from 'preact/hooks';
import type { BenchRevision } from '../../../../node/api/edit-contract.ts';
import { comparedInWords } from '../../../../node/show/compare-words.ts';
import type { Show } from '../../../../node/show/document.ts';
import { getRevision } from '../../api.ts';
import { Push } from '../../parts/push.tsx';
import { as } from '../../parts/spoken.tsx';
import { addressOf } from '../../route.ts';
import { isOpen } from '../../state.ts';
import { restore } from '../edits.ts';
import { whoseName } from '../written.ts';
import { momentInWords, rowInWords } from './row-words.ts';
import { Then } from './then.tsx';

interface RevisionPageProps {
  /** Its number, as the address has it. */
  readonly revision: string;
  readonly now: Show;
}

/** The show as it was at one time, to look at; what has changed since, in words; and the way back to it. */
export function RevisionPage({ revision, now }: RevisionPageProps) {
  const [read, setRead] = useState<BenchRevision | undefined>(undefined);
  const [trouble, setTrouble] = useState('');
  useEffect(() => {
    getRevision(revision).then(
      (answer) => {
        setRead(answer);
        setTrouble('');
      },
      (error: unknown) => setTrouble(error instanceof Error ? error.message : String(error)),
    );
  }, [revision, isOpen.value]);
  const words = useMemo(() => (read === undefined ? [] : comparedInWords(read.show, now)), [read, now]);
  if (read === undefined)
    return <p role={trouble === '' ? 'status' : 'alert'}>{trouble === '' ? 'Reading the show of then…' : trouble}</p>;
  const { row, show: then } = read;
  return (
    <section class="then" aria-labelledby="bench-revision">
      <h1 id="bench-revision" class="bench-title">
        As it was on {momentInWords(row.at)}
      </h1>
      <p class="quiet">
        After {whoseName(row.who)}: {rowInWords(row)}. You only look at it: nothing is changed or played by that, and the picture of
        the room shows now.
      </p>
      <h2>Beside now</h2>
      {words.length === 0 ? (
        <p>Nothing differs: the show is now just as it was then.</p>
      ) : (
        <>
          <ul {...as.list} class="history-since">
            {words.map((one) => (
              <li key={one}>{one}.</li>
            ))}
          </ul>
          <div class="bench-row">
            <Push kind="main" disabled={!isOpen.value} onClick={() => void back(row.revision)}>
              Back to this
            </Push>
            <p class="quiet history-back">It becomes a change of yours like any other: “Take back” undoes it.</p>
          </div>
        </>
      )}
      <Then show={then} />
    </section>
  );
}

/** What was brought back is the newest then, and the list says so. */
async function back(revision: number): Promise<void> {
  if (await restore(revision)) location.hash = addressOf('bench', 'history');
}
