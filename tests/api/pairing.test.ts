import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { pairRequest } from '../../node/api/contract.ts';
import { Pairing } from '../../node/api/pairing.ts';
import { openDatabase } from '../../node/store/database.ts';
import { FakeClock } from '../helpers/fake-clock.ts';
import { remotesIn } from '../helpers/store-in-place.ts';

let folder: string;
let db: ReturnType<typeof openDatabase>;
let clock: FakeClock;
let pairing: Pairing;
let ended: number[];

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'duskhand-test-'));
  db = openDatabase(folder);
  clock = new FakeClock();
  ended = [];
  pairing = new Pairing({ remotes: remotesIn(db), clock, revoked: (id) => ended.push(id), connected: () => false });
});
afterEach(() => {
  db.close();
  rmSync(folder, { recursive: true });
});

describe('a code', () => {
  it('that the disk would not take the phone for stays good, and a node stays unclaimed', async () => {
    const code = pairing.openClaim() ?? '';
    // SQLite's own limit stands in for a disk that is full: nothing may be added (https://sqlite.org/pragma.html#pragma_max_page_count).
    const [pages] = db.pragma('page_count') as [{ page_count: number }];
    db.pragma(`max_page_count = ${pages.page_count}`);
    const long = 'x'.repeat(100_000);
    await expect(pairing.pair(code, long)).rejects.toMatchObject({ code: 'SQLITE_FULL' });
    expect(pairing.isClaimable).toBe(true);
    db.pragma('max_page_count = 1000000');
    expect((await pairing.pair(code, 'Phone'))?.remote).toMatchObject({
      id: 1,
      name: 'Phone',
      role: 'operator',
      pairedAt: clock.wall(),
    });
    expect(pairing.isClaimable).toBe(false);
    expect(await pairing.pair(code, 'Another')).toBeUndefined();
  });

  it('holds for five minutes', async () => {
    const { code, expiresAt } = pairing.invite('viewer', 'http://node');
    expect(expiresAt).toBe(clock.wall() + 5 * 60_000);
    clock.advance(5 * 60_000);
    expect(await pairing.pair(code, 'Late')).toBeUndefined();
  });
});

describe('a revoked remote', () => {
  it('is told of once, with all others when all are', async () => {
    for (const name of ['A', 'B']) await pairing.pair(pairing.invite('helper', '').code, name);
    expect(await pairing.revoke(2)).toBe(true);
    expect(await pairing.revoke(2)).toBe(false);
    await pairing.revokeAll();
    expect(ended).toEqual([2, 1]);
    expect(pairing.list()).toEqual([]);
  });
});

describe('the name of a phone', () => {
  const code = 'AAAA-AAAA';

  it.each(['\u001b[31mred', 'a\u0000b', 'ab\u009bc', 'ev\u202eil', 'x\u2066y', 'two\nlines'])(
    'may not be %j, and that is said',
    (name) => {
      expect(pairRequest.safeParse({ code, name }).error?.issues.map(({ message }) => message)).toEqual([
        'must be plain text: no control characters, no halves of a character, and none that turn the direction of reading',
      ]);
    },
  );

  it.each(['Anna’s phone', 'Handy von Jürgen', 'טלפון', '📱 2'])('may be %s', (name) => {
    expect(pairRequest.parse({ code, name }).name).toBe(name);
  });
});
