import { describe, expect, it } from 'vitest';
import { refusalOf } from '../../node/api/refusals.ts';
import { InputError } from '../../node/core/errors.ts';
import { recordedLog } from '../helpers/recorded-log.ts';

/** Codes by sqlite.org/rescode.html and errno(3). */
const failing = (code: string) => Object.assign(new Error('what the system says'), { code });

describe('what could not be done', () => {
  it.each([
    ['SQLITE_FULL', 507, /disk of the node is full/],
    ['ENOSPC', 507, /disk of the node is full/],
    ['SQLITE_READONLY', 503, /read-only/],
    ['SQLITE_READONLY_DBMOVED', 503, /read-only/],
    ['EROFS', 503, /read-only/],
    ['SQLITE_BUSY', 503, /Another program/],
    ['SQLITE_IOERR_WRITE', 503, /disk of the node fails/],
    ['SQLITE_CORRUPT', 503, /disk of the node fails/],
    ['EMFILE', 503, /too much to do/],
  ])('because of %s is answered with %i and a sentence that says what to do', (code, status, words) => {
    const log = recordedLog();
    const refusal = refusalOf(failing(code), log);
    expect(refusal.status).toBe(status);
    expect(refusal.error).toMatch(words);
    expect(refusal.error).toMatch(/The lights play on\. .+\.$/);
    expect(refusal.error).not.toContain('what the system says');
    expect(log.lines).toEqual([`${refusal.error} (${code})`]);
  });

  it('because the store refuses is the disk’s fault, whoever was the first to say so', () => {
    const error = Object.assign(new InputError('The store in /data cannot be used: database is locked'), { code: 'SQLITE_BUSY' });
    expect(refusalOf(error, recordedLog())).toMatchObject({ status: 503, error: expect.stringMatching(/Another program/) });
  });

  it('because of what was asked goes back as it is, unlogged; a bug is logged and gives nothing away', () => {
    const log = recordedLog();
    const problems = [{ path: 'tempo', message: 'must be at most 300' }];
    expect(refusalOf(new InputError('The show has mistakes', problems), log)).toEqual({
      status: 422,
      error: 'The show has mistakes',
      problems,
    });
    expect(log.lines).toEqual([]);
    for (const bug of [new TypeError('secret'), 'secret', undefined, null, failing('ERR_INVALID_ARG_TYPE')]) {
      const { status, error } = refusalOf(bug, log);
      expect([status, error]).toEqual([500, 'The node could not do this; its log says why']);
    }
    expect(log.lines[0]).toMatch(/^A request failed: TypeError: secret < at /);
  });
});
