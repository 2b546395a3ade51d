import { computed } from '@preact/signals';
import { useMemo } from 'preact/hooks';
import { state } from '../../state.ts';

const stateWords = { coming: 'coming', on: 'on', going: 'going', away: 'away until somebody is back' } as const;

const pressedWords: Readonly<Record<string, string>> = { underneath: 'waits underneath', partly: 'partly on' };

/** How a thing plays just now, in a word; nothing where it does not. */
export function Playing({ item, button }: { readonly item?: string; readonly button?: string }) {
  const word = useMemo(
    () =>
      computed(() => {
        const pressed = button === undefined ? undefined : state.value?.buttons.find(({ id }) => id === button)?.state;
        if (pressed !== undefined) return pressed === 'off' ? '' : (pressedWords[pressed] ?? pressed);
        const entry = state.value?.playing.find((one) => one.item === item);
        if (entry === undefined) return '';
        return entry.isUnderneath ? 'waits underneath' : stateWords[entry.state];
      }),
    [item, button],
  ).value;
  return word === '' ? null : <em class="thing-on">{word}</em>;
}
