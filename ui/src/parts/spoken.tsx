import { type Address, written } from './address.ts';

/**
 * What an element is, in so many words, to be spread over it: where a table is laid out as blocks, or a list has no dots, some browsers tell
 * those who listen of neither.
 */
export const as = {
  table: { role: 'table' },
  rowgroup: { role: 'rowgroup' },
  row: { role: 'row' },
  columnheader: { role: 'columnheader' },
  rowheader: { role: 'rowheader' },
  cell: { role: 'cell' },
  list: { role: 'list' },
} as const;

/** Written `2.17`, as it stands on the lamp; said in words, since a voice reads a fraction there. */
export const SpokenAddress = ({ universe, slot }: Address) => (
  <>
    <span aria-hidden="true">{written({ universe, slot })}</span>
    <span class="spoken">
      universe {universe}, address {slot}
    </span>
  </>
);
