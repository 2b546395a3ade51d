import { useEffect, useState } from 'preact/hooks';
import './history.css';
import type { BenchHistory } from '../../../../node/api/edit-contract.ts';
import { getHistory } from '../../api.ts';
import { Push } from '../../parts/push.tsx';
import { as } from '../../parts/spoken.tsx';
import { addressOf } from '../../route.ts';
import { draft } from '../draft.ts';
import type { PageProps } from '../page.ts';
import { whoseName } from '../written.ts';
import { RevisionPage } from './revision.tsx';
import { momentInWords, rowInWords } from './row-words.ts';

/** Everything that was ever changed, or the show as it was at one time. */
export const HistoryPage = ({ show, open }: PageProps) =>
  open === undefined ? <History /> : <RevisionPage key={open} revision={open} now={show} />;

/** Nothing is lost: any of it can be looked at, and comes back as a new change. */
function History() {
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
              <strong>{whoseName(who)}</strong> {rowInWords({ what, why })}
              <small>{momentInWords(at)}</small>
            </p>
            {number === revision ? (
              <span class="history-now">as it is now</span>
            ) : (
              <a
                class="push"
                href={addressOf('bench', 'history', String(number))}
                aria-label={`Look at it then: ${rowInWords({ what, why })}`}
              >
                Look at it then
              </a>
            )}
          </li>
        ))}
      </ol>
      {!isAll && rows.length > 0 && <Push onClick={() => void more()}>Older ones</Push>}
    </section>
  );
}
