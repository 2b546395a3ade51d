import { describe, expect, it } from 'vitest';
import { codeIn, LONGEST, letters } from '../../../ui/src/pairing/code.ts';

describe('the code in a link', () => {
  it('is read as it was written', () => {
    expect(codeIn('#pair=ABCD-EFGH')).toBe('ABCD-EFGH');
    expect(codeIn('#pair=ABCD%2DEFGH')).toBe('ABCD-EFGH');
  });

  it('is none where the link is broken, and never an error', () => {
    for (const hash of ['#pair=%', '#pair=%E0%A4%A', '#pair=', '', '#/wire']) expect(codeIn(hash)).toBe('');
    expect(codeIn(`#pair=${'A'.repeat(500)}`)).toHaveLength(LONGEST);
  });
});

it('of a code only letters and figures count, in capitals', () => {
  expect(letters(' abcd-2345 ')).toBe('ABCD2345');
});
