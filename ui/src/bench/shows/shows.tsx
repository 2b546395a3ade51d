import { useEffect, useRef, useState } from 'preact/hooks';
import './shows.css';
import type { DemoRow } from '../../../../node/show/shelf-row.ts';
import { Push } from '../../parts/push.tsx';
import { as } from '../../parts/spoken.tsx';
import { isOpen } from '../../state.ts';
import { draft } from '../draft.ts';
import { bring, followShelf, loadShelf, make, refused, said, shelf } from './shelf.ts';
import { BinRow, ShowRow } from './show-row.tsx';

/** All shows of this node: which one plays, and what can be done with them. */
export function Shows() {
  useEffect(followShelf, []);
  const revision = draft.value?.revision;
  useEffect(() => void loadShelf(), [revision, isOpen.value]);
  const list = shelf.value;
  const [isOver, setOver] = useState(false);
  const on = list?.shows.filter(({ binned }) => binned === undefined) ?? [];
  const binned = list?.shows.filter((one) => one.binned !== undefined) ?? [];
  return (
    <section
      class="shows"
      aria-labelledby="bench-shows"
      data-over={isOver}
      onDragOver={(event) => {
        event.preventDefault();
        setOver(true);
      }}
      onDragLeave={() => setOver(false)}
      onDrop={(event) => {
        event.preventDefault();
        setOver(false);
        void bringAll(event.dataTransfer?.files);
      }}
    >
      <h1 id="bench-shows" class="bench-title">
        Shows
      </h1>
      <p class="quiet">One of them plays. The others wait here, each with all that was ever changed of it.</p>
      <Told />
      {list === undefined && <p class="quiet">One moment…</p>}
      <ul {...as.list} class="shows-list">
        {on.map((row) => (
          <ShowRow key={row.id} row={row} plays={row.id === list?.plays} />
        ))}
      </ul>
      <NewShow demos={list?.demos ?? []} />
      {binned.length > 0 && (
        <section aria-labelledby="shows-bin">
          <h2 id="shows-bin">In the bin</h2>
          <p class="quiet">Nothing is thrown away: whatever lies here comes back as it was.</p>
          <ul {...as.list} class="shows-list">
            {binned.map((row) => (
              <BinRow key={row.id} row={row} />
            ))}
          </ul>
        </section>
      )}
    </section>
  );
}

/** One place for what was done and what was refused. */
function Told() {
  const no = refused.value;
  if (no !== undefined)
    return (
      <div class="trouble" role="alert">
        <p>{no.text}</p>
        {no.places.length > 0 && (
          <ul>
            {no.places.slice(0, MOST_PLACES).map((place) => (
              <li key={place}>{place}</li>
            ))}
          </ul>
        )}
        {no.places.length > MOST_PLACES && <p>And {no.places.length - MOST_PLACES} more.</p>}
      </div>
    );
  return <Done words={said.value} />;
}

/** What was made stands above what it was made with: on a phone nothing would be seen of it. */
function Done({ words }: { readonly words: string }) {
  const line = useRef<HTMLParagraphElement>(null);
  useEffect(() => {
    if (words !== '') line.current?.scrollIntoView({ block: 'nearest' });
  }, [words]);
  return (
    <p ref={line} class="bench-said" aria-live="polite">
      {words}
    </p>
  );
}

const MOST_PLACES = 8;

/** One file after the other; the first that is refused is told, and those behind it wait for another try. */
async function bringAll(files: FileList | null | undefined): Promise<void> {
  for (const file of files ?? []) if (!(await bring(file))) return;
}

function NewShow({ demos }: { readonly demos: readonly DemoRow[] }) {
  const file = useRef<HTMLInputElement>(null);
  return (
    <section aria-labelledby="shows-new">
      <h2 id="shows-new">Make another</h2>
      <div class="bench-row">
        <Push disabled={!isOpen.value} onClick={() => void make({ empty: true, name: 'New show' })}>
          An empty show
        </Push>
        <Push disabled={!isOpen.value} onClick={() => file.current?.click()}>
          From a file
        </Push>
        <input
          ref={file}
          hidden
          type="file"
          accept=".json,application/json"
          aria-label="A show file"
          onChange={async ({ currentTarget }) => {
            await bringAll(currentTarget.files);
            currentTarget.value = '';
          }}
        />
      </div>
      <p class="quiet">A file can be dropped here too. It becomes a show of its own; nothing that is here is written over.</p>
      {demos.length > 0 && (
        <>
          <h3>Start from an invented one</h3>
          <div class="bench-row">
            {demos.map(({ file: name, name: called }) => (
              <Push key={name} disabled={!isOpen.value} onClick={() => void make({ demo: name })}>
                {called}
              </Push>
            ))}
          </div>
        </>
      )}
    </section>
  );
}
