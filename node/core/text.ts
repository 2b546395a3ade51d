import { z } from 'zod';

/**
 * Characters that do not look as they are written: controls, which a terminal obeys, other ends of a line, and those that turn the
 * direction of what is read around them (Unicode properties Cc, Zl, Zp and Bidi_Control).
 */
export const UNPLAIN = /[\p{Cc}\p{Zl}\p{Zp}\p{Bidi_Control}]/gu;

/** Text of one line that looks everywhere as it is written. */
export const plainText = z.string().regex(/^[^\p{Cc}\p{Zl}\p{Zp}\p{Bidi_Control}]*$/u, {
  error: 'must be plain text: no control characters, and none that turn the direction of reading',
});

/** Any text on one line, for a terminal or a journal: what is not plain as JSON writes it, so that JSON stays the same JSON. */
export const printable = (text: string): string =>
  text.replace(UNPLAIN, (one) =>
    one < ' ' ? JSON.stringify(one).slice(1, -1) : `\\u${one.charCodeAt(0).toString(16).padStart(4, '0')}`,
  );
