import { z } from 'zod';

/**
 * Text of one line that looks everywhere as it is written: no control characters, which a terminal obeys, and none that turn the
 * direction of what is read around them (Unicode properties Cc and Bidi_Control).
 */
export const plainText = z.string().regex(/^[^\p{Cc}\p{Bidi_Control}]*$/u, {
  error: 'must be plain text: no control characters, and none that turn the direction of reading',
});
