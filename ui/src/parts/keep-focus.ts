import { useEffect, useRef } from 'preact/hooks';

/**
 * Where things change places under a keyboard, the focus goes along with the one that was moved.
 * @returns what is told the mark (`data-moves`) of the button that was pressed; where that one can do no more, another of its row takes over
 */
export function useFocusThatFollows(): (mark: string) => void {
  const mark = useRef<string | undefined>(undefined);
  useEffect(() => {
    if (mark.current === undefined) return;
    const pressed = document.querySelector<HTMLButtonElement>(`[data-moves="${CSS.escape(mark.current)}"] > button`);
    if (pressed === null) return;
    const able = pressed.disabled ? pressed.closest('li')?.querySelector<HTMLButtonElement>('button:not(:disabled)') : pressed;
    if (document.activeElement !== able) able?.focus();
  });
  return (next) => {
    mark.current = next;
  };
}
