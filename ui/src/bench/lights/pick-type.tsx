import { useEffect, useState } from 'preact/hooks';
import type { TypeChoice } from '../../../../node/api/edit-contract.ts';
import { counted } from '../../../../node/core/words.ts';
import { findTypes } from '../../../../node/plan/patch/find-type.ts';
import type { Show } from '../../../../node/show/document.ts';
import { Push } from '../../parts/push.tsx';
import { as } from '../../parts/spoken.tsx';
import { isOpen } from '../../state.ts';
import { choices, loadTypes, typesTrouble } from './types.ts';

export interface Picked {
  readonly type: TypeChoice;
  readonly mode: TypeChoice['modes'][number];
}

/** Types that are shown at once: more are found by another word. */
const AT_ONCE = 6;

/** A kind of lamp and how it is set, found by what people call it. */
export function PickType({ show, onPick }: { readonly show: Show; readonly onPick: (picked: Picked) => void }) {
  const [asked, setAsked] = useState('');
  const [most, setMost] = useState(AT_ONCE);
  const open = isOpen.value;
  useEffect(() => {
    if (open) void loadTypes();
  }, [open]);
  const found = findTypes(choices(show), asked);
  return (
    <div class="lights-find">
      <search>
        <input
          type="search"
          aria-label="What kind of lamp is it?"
          placeholder="par, uplight 7, 9 channels, moving head"
          value={asked}
          onInput={({ currentTarget }) => {
            setAsked(currentTarget.value);
            setMost(AT_ONCE);
          }}
        />
      </search>
      {typesTrouble.value !== undefined && (
        <p class="trouble" role="alert">
          {typesTrouble.value}
        </p>
      )}
      <ul {...as.list} class="lights-kinds" aria-label="Kinds of lamp">
        {found.slice(0, most).map(({ type, modes }) => (
          <li key={type.id}>
            <strong>{type.name}</strong>
            <small>{[type.maker, type.words[0], fromWords[type.from]].filter(Boolean).join(', ')}</small>
            <div class="lights-modes">
              {modes.map((mode) => (
                <Push key={mode.id} label={`${type.name}: ${modeWords(mode)}`} onClick={() => onPick({ type, mode })}>
                  {modeWords(mode)}
                </Push>
              ))}
            </div>
          </li>
        ))}
      </ul>
      <p class="quiet" role="status">
        {found.length === 0 && asked.trim() !== ''
          ? 'No kind of lamp is called so. Try a plainer word, or the number of channels that its manual says.'
          : found.length > most && `${counted(found.length - most, 'more kind')} besides these.`}
      </p>
      {found.length > most && <Push onClick={() => setMost(most + 4 * AT_ONCE)}>Show more kinds</Push>}
    </div>
  );
}

const fromWords = { library: 'of no maker', import: 'from a file', show: 'in this show' } as const;

/** A mode by its name; how many channels it takes, where that does not say so. */
export const modeWords = ({ name, sizes }: Picked['mode']): string => {
  const channels = sizes.reduce((sum, one) => sum + one, 0);
  return /\bchannels?\b/.test(name) ? name : `${name}, ${counted(channels, 'channel')}`;
};
