import { chownSync, readdirSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { FactTable } from '../../node/store/facts.ts';
import { lockFolder } from '../../node/store/lock.ts';
import { fetchShow, keepShow } from '../../node/store/show-files.ts';
import { isRoot } from '../helpers/namespace.ts';
import { tinyShow } from '../helpers/tiny-show.ts';
import { newFolder, open } from './new-folder.ts';

/** That the system lets go of a lock when its process is killed is proven in tests/system/kill.test.ts. */
describe('the lock of a folder', () => {
  it('is had once, and had again when it was let go', () => {
    const folder = newFolder();
    const unlock = lockFolder(folder);
    expect(() => lockFolder(folder)).toThrow(`A node is running already with the data folder ${folder}`);
    const elsewhere = lockFolder(newFolder());
    unlock();
    lockFolder(folder)();
    elsewhere();
  });

  it('is not said to be held where it cannot be made', () => {
    const folder = newFolder();
    writeFileSync(join(folder, 'lock.sqlite'), 'Not what it should be. '.repeat(100));
    expect(() => lockFolder(folder)).toThrow(`${join(folder, 'lock.sqlite')} cannot be locked: file is not a database`);
  });

  it('keeps shows out that a running node would not know of, but lets them be read', () => {
    const folder = newFolder();
    keepShow(folder, tinyShow({ tempo: 90 }), 0);
    const unlock = lockFolder(folder);
    expect(() => keepShow(folder, tinyShow({ tempo: 91 }), 0)).toThrow('A node is running already');
    expect(fetchShow(folder, undefined).tempo).toBe(90);
    unlock();
    expect(keepShow(folder, tinyShow({ tempo: 91 }), 0).revision).toBe(2);
    expect(fetchShow(folder, 'tiny').tempo).toBe(91);
    expect(() => fetchShow(folder, 'other')).toThrow('There is no show "other"; there is tiny');
  });
});

describe('facts of a node', () => {
  it('stay, and are written anew only where they are others', () => {
    const folder = newFolder();
    const db = open(folder);
    const facts = new FactTable(db);
    expect(facts.get('e131-cid')).toBeUndefined();
    facts.set('e131-cid', 'one');
    const written = () => db.pragma('data_version', { simple: true });
    const other = new FactTable(open(folder));
    const before = written();
    other.set('e131-cid', 'one');
    expect(written()).toBe(before);
    other.set('e131-cid', 'two');
    expect(written()).not.toBe(before);
    expect(facts.get('e131-cid')).toBe('two');
  });
});

it.runIf(isRoot)('what root makes in the folder of a service belongs to the service', () => {
  const folder = newFolder();
  const service = 4321;
  chownSync(folder, service, service);
  keepShow(folder, tinyShow({ tempo: 90 }), 0);
  const files = readdirSync(folder);
  expect(files).toContain('duskhand.sqlite');
  for (const name of files) expect(statSync(join(folder, name)).uid, name).toBe(service);
});
