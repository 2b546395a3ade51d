import { describe, expect, it } from 'vitest';
import { codeIn, pauseAfter } from '../../ui/src/seeking.ts';

describe('a lost phone', () => {
  it('looks for the node soon at first, then ever more rarely, at least every four seconds', () => {
    const pauses = [0, 1, 2, 3, 4, 5, 50, 5000].map((looks) => pauseAfter(looks, 0.5));
    expect(pauses).toEqual([500, 1000, 2000, 3000, 3000, 3000, 3000, 3000]);
  });

  it('does not look in the same moment as all others', () => {
    expect([pauseAfter(1, 0), pauseAfter(1, 1)]).toEqual([750, 1250]);
  });
});

describe('the code in a link', () => {
  it('is read as it was written', () => {
    expect(codeIn('#pair=ABCD-EFGH')).toBe('ABCD-EFGH');
    expect(codeIn('#pair=ABCD%2DEFGH')).toBe('ABCD-EFGH');
  });

  it('is none where the link is broken, and never an error', () => {
    for (const hash of ['#pair=%', '#pair=%E0%A4%A', '#pair=', '', '#/wire']) expect(codeIn(hash)).toBe('');
    expect(codeIn(`#pair=${'A'.repeat(500)}`)).toHaveLength(12);
  });
});
