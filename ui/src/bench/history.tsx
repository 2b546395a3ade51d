import { useEffect, useState } from 'preact/hooks';
import type { BenchHistory } from '../../../node/api/edit-contract.ts';
import { getHistory } from '../api.ts';
import { Push } from '../parts/push.tsx';
import { as } from '../parts/spoken.tsx';
import { draft } from './draft.ts';
import { restore } from './edits.ts';
import { whoseName } from './written.ts';

const whyWords = { edit: '', undo: 'taken back: ', redo: 'brought back: ' } as const;

/** Everything that was ever changed. Nothing is lost: any of it comes back as a new change. */
export function History() {
  const [rows, setRows] = useState<BenchHistory>([]);
  const [isAll, setAll] = useState(false);
  const revision = draft.value?.revision;
  useEffect(() => {
    getHistory().then(
      (read) => {
        setRows(read);
        setAll(read.length === 0);
      },
      () => setRows([]),
    );
  }, [revision]);
  const more = async (): Promise<void> => {
    const older = await getHistory(rows.at(-1)?.revision).catch(() => []);
    setRows([...rows, ...older]);
    setAll(older.length === 0);
  };
  return (
    <section class="bench-history" aria-labelledby="bench-history">
      <h1 id="bench-history" class="bench-title">
        What was changed, and by whom
      </h1>
      <ol {...as.list}>
        {rows.map(({ revision: number, at, who, what, why }) => (
          <li key={number}>
            <p>
              <strong>{whoseName(who)}</strong> {what === '' ? 'the whole show' : `${whyWords[why]}${what}`}
              <small>{new Date(at).toLocaleString([], { dateStyle: 'medium', timeStyle: 'short' })}</small>
            </p>
            {number === revision ? (
              <span class="quiet">as it is now</span>
            ) : (
              <Push label={`Back to this, revision ${number}`} onClick={() => void restore(number)}>
                Back to this
              </Push>
            )}
          </li>
        ))}
      </ol>
      {!isAll && rows.length > 0 && <Push onClick={() => void more()}>Older ones</Push>}
    </section>
  );
}
