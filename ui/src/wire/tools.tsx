import { Push } from '../parts/push.tsx';
import { asked, changedOnly, found, picked } from './page.ts';
import { setOut } from './walk-through.tsx';

/** Find, narrow down, walk: what a thumb needs here. */
export function Tools() {
  const seek = (text: string): void => {
    asked.value = text;
    const { fixtures, slot } = found.value;
    // An address names one slot: show it without another press. What was shown before would only cover what is found.
    picked.value = slot === undefined ? undefined : { fixture: fixtures[0]?.id, slot };
  };
  return (
    <search class="wire-tools">
      <input
        type="search"
        aria-label="Find a light by name, use, universe or address"
        placeholder="Find: name, 2.17"
        autocomplete="off"
        enterkeyhint="search"
        value={asked.value}
        onInput={({ currentTarget }) => seek(currentTarget.value)}
        onKeyDown={({ key, currentTarget }) => key === 'Enter' && currentTarget.blur()}
      />
      <Push
        pressed={changedOnly.value}
        label="Only what changed in the last 3 seconds"
        onClick={() => (changedOnly.value = !changedOnly.value)}
      >
        Only what changed
      </Push>
      <Push label="One by one: walk through the lights" onClick={setOut}>
        One by one
      </Push>
    </search>
  );
}
