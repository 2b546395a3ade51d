import { useEffect, useState } from 'preact/hooks';
import type { HeldBackRow } from '../../../node/api/contract.ts';
import { getHeldBack } from '../api.ts';
import { timeOfDay } from '../parts/words.ts';

/** How often the list is read anew. Milliseconds. */
const EVERY = 10_000;

/** What guards kept from the lights tonight: a plain list, the newest first. */
export function HeldBack() {
  const [rows, setRows] = useState<readonly HeldBackRow[]>();
  useEffect(() => {
    let gone = false;
    const read = () =>
      getHeldBack().then(
        (now) => gone || setRows(now),
        // The line says so itself; what was read stands.
        () => undefined,
      );
    void read();
    const timer = setInterval(read, EVERY);
    return () => {
      gone = true;
      clearInterval(timer);
    };
  }, []);
  return (
    <section>
      <h2>What was held back tonight</h2>
      {rows === undefined ? (
        <p class="quiet">Asking the node…</p>
      ) : rows.length === 0 ? (
        <p class="quiet">Nothing: all went out as it was asked for.</p>
      ) : (
        <ul class="held-back">
          {rows.map(({ since, until, what, times }) => (
            <li key={`${since} ${what}`}>
              <span class="quiet">{when(since, until)}</span> {what}
              {times > 1 && <span class="quiet">, {times} times</span>}
            </li>
          ))}
        </ul>
      )}
    </section>
  );
}

function when(since: number, until: number): string {
  const [from, to] = [timeOfDay(since), timeOfDay(until)];
  return from === to ? from : `${from} to ${to}`;
}
