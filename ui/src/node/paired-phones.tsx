import { signal } from '@preact/signals';
import { useEffect, useState } from 'preact/hooks';
import type { RemoteRow } from '../../../node/api/contract.ts';
import { getRemotes, revoke } from '../api.ts';
import { Push } from '../parts/push.tsx';
import { as } from '../parts/spoken.tsx';
import { halfSeconds } from '../parts/ticker.ts';
import { ago } from '../parts/words.ts';
import { say } from '../presses.ts';
import { hello, isOpen, nodeDate } from '../state.ts';
import { roleWords } from './role-words.ts';

const EVERY = 5000;

/** Every phone that is paired, as the node told last. */
export const pairedPhones = signal<readonly RemoteRow[] | undefined>(undefined);

export function PairedPhones() {
  const rows = pairedPhones.value;
  const open = isOpen.value;
  /** Reads the list while it is looked at; a node that does not answer is told of elsewhere. */
  const load = () =>
    void getRemotes().then(
      (told) => {
        pairedPhones.value = told;
      },
      () => undefined,
    );
  useEffect(() => {
    if (!open) return;
    load();
    const timer = setInterval(load, EVERY);
    return () => clearInterval(timer);
  }, [open]);
  return (
    <section>
      <h2>Who may press</h2>
      {rows === undefined ? (
        <p class="quiet">Reading the list…</p>
      ) : (
        <ul class="phones" {...as.list} aria-label="Who may press">
          {rows.map((row) => (
            <Phone key={row.id} row={row} onRemoved={load} />
          ))}
        </ul>
      )}
    </section>
  );
}

function Phone({ row, onRemoved }: { readonly row: RemoteRow; readonly onRemoved: () => void }) {
  const [asked, setAsked] = useState(false);
  halfSeconds.value;
  const own = hello.value?.you.id === row.id;
  const seen = row.connected ? 'here now' : row.seenAt === null ? 'not seen yet' : `seen ${ago(nodeDate() - row.seenAt)}`;
  const remove = async () => {
    try {
      await revoke(row.id);
      onRemoved();
    } catch (error) {
      say((error as Error).message);
    }
  };
  return (
    <li>
      <p>
        <strong>{row.name}</strong>
        {own && ' (this one)'}
        <br />
        <span class="quiet">
          {roleWords[row.role].name}, {seen}
        </span>
      </p>
      {asked ? (
        <div class="ask">
          <p>{own ? 'This phone loses the node at once.' : 'It loses the node at once, and needs a new code to come back.'}</p>
          <div class="pair">
            <Push onClick={() => setAsked(false)}>Keep it</Push>
            <Push kind="main" onClick={() => void remove()} disabled={!isOpen.value}>
              Remove
            </Push>
          </div>
        </div>
      ) : (
        <Push onClick={() => setAsked(true)} label={`Remove ${row.name}`} disabled={!isOpen.value}>
          Remove…
        </Push>
      )}
    </li>
  );
}
