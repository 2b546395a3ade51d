import { z } from 'zod';

/**
 * Characters that do not look as they are written: controls, which a terminal obeys, and those that turn the direction of what is read
 * around them (Unicode properties Cc and Bidi_Control).
 */
export const UNPLAIN = /[\p{Cc}\p{Bidi_Control}]/gu;

/** Text of one line that looks everywhere as it is written. */
export const plainText = z.string().regex(/^[^\p{Cc}\p{Bidi_Control}]*$/u, {
  error: 'must be plain text: no control characters, and none that turn the direction of reading',
});
