/**
 * What may not reach a terminal or a journal as it stands: control characters (ISO/IEC 6429, with which a name could move the cursor or
 * forge a line), and the marks that turn the direction of writing (Unicode Standard Annex 9) or end a line.
 */
const UNPRINTABLE = /[\p{Cc}\u061c\u200e\u200f\u2028\u2029\u202a-\u202e\u2066-\u2069]/gu;

export const isPrintable = (text: string): boolean => text.search(UNPRINTABLE) === -1;

/** The text on one line, with such characters written as JSON writes them, so that JSON stays the same JSON. */
export const printable = (text: string): string =>
  text.replace(UNPRINTABLE, (one) =>
    one < ' ' ? JSON.stringify(one).slice(1, -1) : `\\u${one.charCodeAt(0).toString(16).padStart(4, '0')}`,
  );
