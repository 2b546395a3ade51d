import { describe, expect, it } from 'vitest';
import { troublesOf } from '../../node/api/troubles.ts';

const happened = (unsent: readonly number[]) => troublesOf({ outputs: [], unsent }).map((one) => one.happened);

describe('universes that nothing sends', () => {
  it('are a trouble that names them, the first few of many', () => {
    expect(happened([])).toEqual([]);
    expect(happened([3])).toEqual(['Universe 3 of the show is sent by no output.']);
    expect(happened([3, 4])).toEqual(['Universes 3 and 4 of the show are sent by no output.']);
    expect(happened([1, 2, 3, 4, 5, 6, 7])).toEqual(['Universes 1, 2, 3, 4 and 3 more of the show are sent by no output.']);
  });

  it('are none before the outputs have spoken', () => {
    expect(troublesOf(undefined)).toEqual([]);
  });
});
