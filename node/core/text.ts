import { z } from 'zod';

/**
 * Characters that do not look as they are written: controls, which a terminal obeys, other ends of a line, halves of a surrogate pair,
 * which no UTF-8 can hold, and those that turn the direction of what is read around them (Unicode properties Cc, Cs, Zl, Zp and
 * Bidi_Control).
 */
export const UNPLAIN = /[\p{Cc}\p{Cs}\p{Zl}\p{Zp}\p{Bidi_Control}]/gu;

/** The same, but for the ends of lines and the tabs that a longer text has. */
export const UNPLAIN_LINES = /(?![\t\n\r])[\p{Cc}\p{Cs}\p{Zl}\p{Zp}\p{Bidi_Control}]/gu;

/** Text of one line that looks everywhere as it is written. */
export const plainText = z.string().regex(/^[^\p{Cc}\p{Cs}\p{Zl}\p{Zp}\p{Bidi_Control}]*$/u, {
  error: 'must be plain text: no control characters, no halves of a character, and none that turn the direction of reading',
});

/** The same over several lines, with tabs. */
export const plainLines = z.string().regex(/^(?:[^\p{Cc}\p{Cs}\p{Zl}\p{Zp}\p{Bidi_Control}]|[\t\n\r])*$/u, {
  error:
    'must be plain text: no control characters but ends of lines and tabs, no halves of a character, and none that turn the direction of reading',
});

/** Any text on one line, for a terminal or a journal: what is not plain as JSON writes it, so that JSON stays the same JSON. */
export const printable = (text: string): string =>
  text.replace(UNPLAIN, (one) =>
    one < ' ' ? JSON.stringify(one).slice(1, -1) : `\\u${one.charCodeAt(0).toString(16).padStart(4, '0')}`,
  );
