import { useEffect, useRef, useState } from 'preact/hooks';
import type { ShelfRow } from '../../../../node/show/shelf-row.ts';
import { fileOfShow } from '../../api.ts';
import { Push } from '../../parts/push.tsx';
import { isOpen } from '../../state.ts';
import { whoseName } from '../written.ts';
import { bin, bringBack, look, make, open, opening, rename } from './shelf.ts';

const when = (at: number): string => new Date(at).toLocaleString([], { dateStyle: 'medium', timeStyle: 'short' });

/** Names have 80 letters at most. */
const LONGEST = 80;

export function ShowRow({ row, plays }: { readonly row: ShelfRow; readonly plays: boolean }) {
  const { id, name, demo, isEmpty, trouble } = row;
  const [isNaming, setNaming] = useState(false);
  const asked = opening.value?.id === id ? opening.value : undefined;
  const line = !isOpen.value;
  return (
    <li data-plays={plays}>
      {isNaming ? <NameField row={row} done={() => setNaming(false)} /> : <Titled row={row} plays={plays} />}
      {trouble !== undefined && <p class="trouble">{trouble}. It is kept as it is.</p>}
      <p class="quiet shows-facts">
        {[demo && 'invented, to try things out', isEmpty && 'nothing in it yet'].filter(Boolean).join('; ')}
        <small>
          {whoseName(row.who)}
          {row.what === '' ? '' : `: ${row.what}`}, {when(row.at)}
        </small>
      </p>
      {asked === undefined ? (
        <div class="bench-row">
          {!plays && trouble === undefined && (
            <Push kind="main" disabled={line} label={`Open ${name}`} onClick={() => void look(id)}>
              Open
            </Push>
          )}
          {trouble === undefined && (
            <>
              <Push disabled={line} label={`Rename ${name}`} onClick={() => setNaming(true)}>
                Rename
              </Push>
              <Push
                disabled={line}
                label={`Copy ${name}`}
                onClick={() => void make({ like: id, name: `${name.slice(0, LONGEST - 6)}, copy` })}
              >
                Copy
              </Push>
              <a class="push" href={fileOfShow(id)} download={`${id}.json`} aria-label={`Save as a file: ${name}`}>
                Save as a file
              </a>
            </>
          )}
          {!plays && (
            <Push disabled={line} label={`Into the bin: ${name}`} onClick={() => void bin(id, name)}>
              Into the bin
            </Push>
          )}
        </div>
      ) : (
        <fieldset class="shows-opening" aria-label={`Open ${name}?`}>
          <p>
            {asked.stops} {asked.starts} {asked.stays} {asked.draft}
          </p>
          <div class="bench-row">
            <Push kind="main" disabled={line} onClick={() => void open(id, name)}>
              Open it now
            </Push>
            <Push onClick={() => (opening.value = undefined)}>Leave it</Push>
          </div>
        </fieldset>
      )}
    </li>
  );
}

const Titled = ({ row: { name }, plays }: { readonly row: ShelfRow; readonly plays: boolean }) => (
  <h2>
    {name}
    {plays && <small> plays</small>}
  </h2>
);

function NameField({ row: { id, name }, done }: { readonly row: ShelfRow; readonly done: () => void }) {
  const [typed, setTyped] = useState(name);
  const input = useRef<HTMLInputElement>(null);
  useEffect(() => input.current?.select(), []);
  const isWrong = typed.trim() === '';
  return (
    <form
      class="bench-row"
      onSubmit={async (event) => {
        event.preventDefault();
        if (isWrong) return;
        if (typed.trim() === name || (await rename(id, name, typed.trim()))) done();
      }}
    >
      <div class="bench-field">
        <label for={`name-${id}`}>Name</label>
        <input
          ref={input}
          id={`name-${id}`}
          type="text"
          value={typed}
          maxLength={LONGEST}
          autocomplete="off"
          aria-invalid={isWrong}
          onInput={({ currentTarget }) => setTyped(currentTarget.value)}
          onKeyDown={({ key }) => key === 'Escape' && done()}
        />
      </div>
      <Push type="submit" kind="main" disabled={isWrong || !isOpen.value}>
        Call it so
      </Push>
      <Push onClick={done}>Leave it</Push>
    </form>
  );
}

export const BinRow = ({ row: { id, name, binned } }: { readonly row: ShelfRow }) => (
  <li>
    <h3>{name}</h3>
    <p class="quiet shows-facts">
      <small>
        put here by {whoseName(binned?.who ?? '')}, {when(binned?.at ?? 0)}
      </small>
    </p>
    <div class="bench-row">
      <Push disabled={!isOpen.value} label={`Bring it back: ${name}`} onClick={() => void bringBack(id, name)}>
        Bring it back
      </Push>
      <a class="push" href={fileOfShow(id)} download={`${id}.json`} aria-label={`Save as a file: ${name}`}>
        Save as a file
      </a>
    </div>
  </li>
);
