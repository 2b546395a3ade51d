/** What of a row is opened or chosen by its name. */
const ROW = 'li > a, li > label > input';

/** Where the focus goes in a list of so many rows by a key; undefined: the key is for something else. */
export function rowAfter(key: string, at: number, count: number): number | undefined {
  if (count === 0) return undefined;
  switch (key) {
    case 'ArrowDown':
      return Math.min(count - 1, at + 1);
    case 'ArrowUp':
      return Math.max(0, at - 1);
    case 'Home':
      return 0;
    case 'End':
      return count - 1;
    default:
      return undefined;
  }
}

/** Arrow keys go through the rows of a list, from wherever in a row the focus is. */
export function moveThrough(event: KeyboardEvent & { readonly currentTarget: HTMLElement }): void {
  if (event.ctrlKey || event.metaKey || event.altKey) return;
  const rows = [...event.currentTarget.querySelectorAll<HTMLElement>(ROW)];
  const at = rows.findIndex((row) => row.closest('li')?.contains(event.target as Node) === true);
  const next = rows[rowAfter(event.key, at, rows.length) ?? -1];
  if (next === undefined) return;
  event.preventDefault();
  next.focus();
}
