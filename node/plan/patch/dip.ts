import { listed } from '../../core/words.ts';

/** Switches that set the address on lamps without a display (common practice, no source). */
export const ADDRESS_SWITCHES = 9;

/**
 * Positions of the nine address switches, switch 1 first: the address in binary, switch 1 counting 1 and switch 9 counting 256 (common
 * practice, no source: some lamps count one less, and a tenth switch mostly has another job). Undefined for 512: nine switches end at
 * 511, and what a tenth does only the lamp's manual says.
 */
export function dipSwitches(address: number): readonly boolean[] | undefined {
  if (!Number.isInteger(address) || address < 1 || address >= 2 ** ADDRESS_SWITCHES) return undefined;
  return Array.from({ length: ADDRESS_SWITCHES }, (_, i) => (address & (1 << i)) !== 0);
}

/** What to say in place of the picture. */
export const NOT_BY_SWITCHES = '512 needs a tenth switch, or cannot be set by switches: see the manual.';

/** The switches that are up, to be read aloud: `1, 3 and 7`. */
export function switchesInWords(address: number): string {
  const switches = dipSwitches(address);
  if (switches === undefined) return NOT_BY_SWITCHES;
  const on = switches.flatMap((up, i) => (up ? [String(i + 1)] : []));
  return `${listed(on)} on`;
}
