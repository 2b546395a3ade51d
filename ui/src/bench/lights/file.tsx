import { useEffect, useRef, useState } from 'preact/hooks';
import type { TypeTaken } from '../../../../node/api/edit-contract.ts';
import { counted } from '../../../../node/core/words.ts';
import { isLoss } from '../../../../node/rig/gdtf/loss.ts';
import { Refused, sendType } from '../../api.ts';
import { Push } from '../../parts/push.tsx';
import { as } from '../../parts/spoken.tsx';
import { modeWords } from './pick-type.tsx';
import { loadTypes } from './types.ts';

/** A maker's GDTF file, dropped here or picked: the node reads it and says what it came to. */
export function TypeFile({ onTaken }: { readonly onTaken: (type: TypeTaken) => void }) {
  const [state, setState] = useState<'idle' | 'reading' | 'over'>('idle');
  const [taken, setTaken] = useState<TypeTaken | undefined>(undefined);
  const [trouble, setTrouble] = useState<string | undefined>(undefined);
  const input = useRef<HTMLInputElement>(null);
  const take = async (file: File | undefined): Promise<void> => {
    if (file === undefined) return setState('idle');
    setState('reading');
    setTaken(undefined);
    setTrouble(undefined);
    try {
      setTaken(await sendType(file));
      await loadTypes();
    } catch (error) {
      setTrouble(`${file.name}: ${error instanceof Refused ? error.whole : String(error)}`);
    } finally {
      setState('idle');
    }
  };
  const latest = useRef(take);
  latest.current = take;
  // Wherever on the page it is dropped: a browser would leave the page for a file that nobody takes.
  useEffect(() => {
    const over = (event: DragEvent): void => {
      event.preventDefault();
      setState((now) => (now === 'reading' ? now : 'over'));
    };
    const left = (event: DragEvent): void => {
      if (event.relatedTarget === null) setState((now) => (now === 'over' ? 'idle' : now));
    };
    const dropped = (event: DragEvent): void => {
      event.preventDefault();
      void latest.current(event.dataTransfer?.files[0]);
    };
    addEventListener('dragover', over);
    addEventListener('dragleave', left);
    addEventListener('drop', dropped);
    return () => {
      removeEventListener('dragover', over);
      removeEventListener('dragleave', left);
      removeEventListener('drop', dropped);
    };
  }, []);
  return (
    <div class={`lights-file ${state}`}>
      <p>Makers offer files that describe a lamp (GDTF, ending in .gdtf). Drop one on this page, or pick it.</p>
      <input
        ref={input}
        type="file"
        hidden
        aria-label="GDTF file"
        accept=".gdtf"
        onChange={({ currentTarget }) => {
          void take(currentTarget.files?.[0]);
          currentTarget.value = '';
        }}
      />
      <Push disabled={state === 'reading'} onClick={() => input.current?.click()}>
        {state === 'reading' ? 'Reading the file…' : 'Pick a file'}
      </Push>
      <div role="status">{taken !== undefined && <Taken type={taken} onAdd={() => onTaken(taken)} />}</div>
      {trouble !== undefined && (
        <p class="trouble urgent" role="alert">
          {trouble}
        </p>
      )}
    </div>
  );
}

/** What a file came to. */
const Taken = ({ type, onAdd }: { readonly type: TypeTaken; readonly onAdd: () => void }) => (
  <>
    <h3>
      {type.name}
      {type.maker !== undefined && <small> {type.maker}</small>}
    </h3>
    <p>
      {counted(type.modes.length, 'mode')}: {type.modes.map(modeWords).join('; ')}
    </p>
    <Left left={type.left} />
    <Push kind="main" onClick={onAdd}>
      Add lights of this kind
    </Push>
  </>
);

/** What of a file is not used, in the reader's words: what the lamp has and nothing drives stands open. */
export function Left({ left }: { readonly left: readonly string[] }) {
  if (left.length === 0) return <p class="quiet">Everything in the file is used.</p>;
  const lost = left.filter(isLoss);
  return (
    <>
      {lost.length > 0 && (
        <div class="trouble" role="note">
          <div>
            <p>
              There seems to be a mistake in the file. Compare it with the channels in the lamp’s manual; or type the lamp in from
              there.
            </p>
            <ul {...as.list}>
              {lost.map((line) => (
                <li key={line}>{line}</li>
              ))}
            </ul>
          </div>
        </div>
      )}
      {lost.length < left.length && <Unused lines={left.filter((line) => !isLoss(line))} />}
    </>
  );
}

const Unused = ({ lines }: { readonly lines: readonly string[] }) => (
  <details>
    <summary>{counted(lines.length, 'thing')} in the file not used, or taken otherwise</summary>
    <ul {...as.list}>
      {lines.map((line) => (
        <li key={line}>{line}</li>
      ))}
    </ul>
  </details>
);
