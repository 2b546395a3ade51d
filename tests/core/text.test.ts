import { describe, expect, it } from 'vitest';
import { plainLines, plainText, printable } from '../../node/core/text.ts';

/** Control characters by ISO/IEC 6429, marks of direction by Unicode Standard Annex 9, section 2. */
const unprintable = [
  0x00, 0x07, 0x09, 0x0a, 0x0d, 0x1b, 0x7f, 0x85, 0x9b, 0x61c, 0x200e, 0x200f, 0x2028, 0x202a, 0x202e, 0x2066, 0x2069,
  // Halves of a surrogate pair, alone (The Unicode Standard, section 3.8).
  0xd800, 0xdfff,
];

describe('what reaches a terminal', () => {
  it.each(unprintable)('has no U+%i in it, and is the same JSON as before', (code) => {
    const name = `A${String.fromCharCode(code)}B`;
    expect(plainText.safeParse(name).success).toBe(false);
    const text = printable(name);
    expect(plainText.safeParse(text).success).toBe(true);
    expect(text).toMatch(/^A\\\S+B$/);
    expect(JSON.parse(printable(JSON.stringify({ name })))).toEqual({ name });
  });

  it.each(unprintable)('has U+%i in a text of several lines only where it ends a line or is a tab', (code) => {
    expect(plainLines.safeParse(`A${String.fromCharCode(code)}B`).success).toBe([9, 10, 13].includes(code));
  });

  it('is any name that people write, as it stands', () => {
    for (const name of ['Mäntel & Söhne', 'Иван', 'שלום', '山田', 'Bar 👩‍🎤 2', '“Quoted” — 50 %'])
      expect(printable(name)).toBe(name);
  });
});
