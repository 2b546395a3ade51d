/** Letters and figures of a code. */
export const LETTERS = 8;
/** How long a code can be as it is written, with room for a hyphen or spaces. */
export const LONGEST = 12;

/** What counts of a code as somebody wrote it. */
export const letters = (code: string): string => code.toUpperCase().replace(/[^A-Z0-9]/g, '');

/** The code in a link that a phone's camera has opened (`#pair=ABCD-EFGH`); empty where the link is broken or has none. */
export function codeIn(hash: string): string {
  try {
    return decodeURIComponent(/^#pair=(.+)$/.exec(hash)?.[1] ?? '').slice(0, LONGEST);
  } catch {
    return '';
  }
}
