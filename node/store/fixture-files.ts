import { createHash } from 'node:crypto';
import type { Millis } from '../core/units.ts';
import { type FixtureType, fixtureType } from '../rig/fixture-type.ts';
import type { SlotImage } from '../rig/gdtf/images.ts';
import type { ReadFile } from '../rig/gdtf/read.ts';
import type { TypeLookup } from '../show/carry-types.ts';
import { type Db, hasDatabase, openDatabase } from './database.ts';
import { lockFolder } from './lock.ts';

const LONGEST_ID = 60;

/** Imported fixture types with the files that they were read from. Every import is kept. */
export class FixtureFileTable {
  readonly #db: Db;

  constructor(db: Db) {
    this.#db = db;
  }

  /**
   * Keeps a file and what was read from it. A type of another maker's GUID that has the id already keeps it, and this one gets a number.
   * @returns the type with the id under which it is found from now on.
   */
  keep(bytes: Buffer, name: string, read: FixtureType, now: Millis, images: readonly SlotImage[] = []): FixtureType {
    return this.#db.transaction(() => {
      const guid = read.source?.id ?? '';
      const type = { ...read, id: this.#freeId(read.id, guid) };
      const json = JSON.stringify(type);
      const hash = createHash('sha256').update(bytes).digest('hex');
      this.#db
        .prepare('INSERT INTO fixture_file (hash, name, bytes) VALUES (?, ?, ?) ON CONFLICT DO NOTHING')
        .run(hash, name, bytes);
      this.#keepImages(hash, images);
      const newest = this.#newest(type.id);
      if (newest?.hash !== hash || newest.type !== json)
        this.#db
          .prepare('INSERT INTO fixture_type (id, guid, hash, type, made_at) VALUES (?, ?, ?, ?, ?)')
          .run(type.id, guid, hash, json, Math.round(now));
      return type;
    })();
  }

  /**
   * Keeps what the file of a type came to when it was read again, under the id that the type has. What was made with the type as it was keeps that.
   * @returns whether it is another than before
   */
  renew(id: string, read: FixtureType, now: Millis, images: readonly SlotImage[] = []): boolean {
    return this.#db.transaction(() => {
      const newest = this.#newest(id);
      const json = JSON.stringify({ ...read, id });
      if (newest === undefined) return false;
      this.#keepImages(newest.hash, images);
      if (newest.type === json) return false;
      this.#db
        .prepare('INSERT INTO fixture_type (id, guid, hash, type, made_at) VALUES (?, ?, ?, ?, ?)')
        .run(id, newest.guid, newest.hash, json, Math.round(now));
      return true;
    })();
  }

  /** The newest import of a type. Read through the schema again: the store may come from elsewhere. */
  find(id: string): FixtureType | undefined {
    const row = this.#newest(id);
    return row === undefined ? undefined : fixtureType.safeParse(JSON.parse(row.type)).data;
  }

  list(): FixtureType[] {
    const rows = this.#db.prepare('SELECT DISTINCT id FROM fixture_type ORDER BY id').all() as { id: string }[];
    return rows.flatMap(({ id }) => this.find(id) ?? []);
  }

  /** The file that a type was read from, as it came. */
  fileOf(id: string): { readonly name: string; readonly bytes: Buffer } | undefined {
    return this.#db
      .prepare(
        'SELECT name, bytes FROM fixture_file WHERE hash = (SELECT hash FROM fixture_type WHERE id = ? ORDER BY number DESC LIMIT 1)',
      )
      .get(id) as { name: string; bytes: Buffer } | undefined;
  }

  /** The picture of a wheel's slot, from 1, a PNG. */
  imageOf(id: string, wheel: string, slot: number): Buffer | undefined {
    const [, slots = []] = Object.entries(this.find(id)?.wheels ?? {}).find(([one]) => one === wheel) ?? [];
    const name = slots[slot - 1]?.image;
    const row = this.#db
      .prepare('SELECT bytes FROM slot_image WHERE hash = ? AND name = ?')
      .get(this.#newest(id)?.hash ?? '', name ?? '') as { bytes: Buffer } | undefined;
    return row?.bytes;
  }

  #keepImages(hash: string, images: readonly SlotImage[]): void {
    const row = this.#db.prepare('INSERT INTO slot_image (hash, name, bytes) VALUES (?, ?, ?) ON CONFLICT DO NOTHING');
    for (const { name, bytes } of images) row.run(hash, name, Buffer.from(bytes));
  }

  #newest(id: string): { guid: string; hash: string; type: string } | undefined {
    return this.#db.prepare('SELECT guid, hash, type FROM fixture_type WHERE id = ? ORDER BY number DESC LIMIT 1').get(id) as
      | { guid: string; hash: string; type: string }
      | undefined;
  }

  #freeId(wanted: string, guid: string): string {
    let id = wanted;
    for (let n = 2; ; n++) {
      const there = this.#newest(id);
      if (there === undefined || there.guid.toLowerCase() === guid.toLowerCase()) return id;
      id = `${wanted.slice(0, LONGEST_ID - 5)}-${n}`;
    }
  }
}

/**
 * Keeps a type in the store of a folder that no node has open.
 * @throws InputError when one has.
 */
export function keepType(folder: string, bytes: Buffer, name: string, { type, images }: ReadFile, now: Millis): FixtureType {
  const unlock = lockFolder(folder);
  try {
    return withTypes(folder, (types) => types.keep(bytes, name, type, now, images));
  } finally {
    unlock();
  }
}

/**
 * {@link FixtureFileTable.renew} in a folder that no node has open, by `read`, which is given the file.
 * @throws InputError when one has.
 */
export async function renewType(
  folder: string,
  id: string,
  read: (bytes: Buffer) => Promise<ReadFile>,
  now: Millis,
): Promise<boolean | undefined> {
  const file = withTypes(folder, (types) => types.fileOf(id));
  if (file === undefined) return undefined;
  const { type, images } = await read(file.bytes);
  const unlock = lockFolder(folder);
  try {
    return withTypes(folder, (types) => types.renew(id, type, now, images));
  } finally {
    unlock();
  }
}

/** All imported types of a folder, which need not be there. */
export const typesIn = (folder: string): FixtureType[] => (hasDatabase(folder) ? withTypes(folder, (types) => types.list()) : []);

/** Finds types in the store of a folder, which is opened for as long as one is looked for. */
export const typesOf =
  (folder: string): TypeLookup =>
  (id) =>
    hasDatabase(folder) ? withTypes(folder, (types) => types.find(id)) : undefined;

function withTypes<T>(folder: string, use: (types: FixtureFileTable) => T): T {
  const db = openDatabase(folder);
  try {
    return use(new FixtureFileTable(db));
  } finally {
    db.close();
  }
}
