import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { meaningOf, systemWords } from '../../node/core/system-words.ts';

const errorOf = (act: () => unknown): unknown => {
  try {
    act();
  } catch (error) {
    return error;
  }
  throw new Error('nothing was thrown');
};

describe('what the system says', () => {
  it('is told in words, with what to do and the code', () => {
    expect(systemWords(errorOf(() => readFileSync('/nowhere/at-all')))).toBe(
      'there is no such file; look how it is called, and in which folder it is (ENOENT)',
    );
    expect(systemWords(errorOf(() => readFileSync('/')))).toBe('it is a folder; name a file in it (EISDIR)');
    expect(systemWords({ code: 'ECONNREFUSED' })).toBe('the other side is there but does not listen on that port (ECONNREFUSED)');
    expect(meaningOf('EWEIRD')).toBe('the system reports an error (EWEIRD)');
  });

  it('is left as it is where it has no code that is known', () => {
    expect(systemWords(new Error('x is not y'))).toBe('x is not y');
    expect(systemWords({ code: 'constructor', toString: () => 'odd' })).toBe('odd');
    expect(systemWords('text')).toBe('text');
  });
});
