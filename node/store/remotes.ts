import { createHash, randomBytes } from 'node:crypto';
import type { Role } from '../core/roles.ts';
import type { Millis } from '../core/units.ts';
import type { Db } from './database.ts';

export interface Remote {
  readonly id: number;
  readonly name: string;
  readonly role: Role;
  readonly pairedAt: Millis;
  readonly seenAt: Millis | null;
}

/** A remote with the hash of its token, by which it is known again. */
export interface KnownRemote extends Remote {
  readonly tokenHash: string;
}

/** Paired remotes. Tokens are kept as hashes only: whoever reads the store cannot pose as a phone. */
export class RemoteTable {
  readonly #db: Db;

  constructor(db: Db) {
    this.#db = db;
  }

  /** Adds a remote. @returns it with its token, which is shown to nobody else and kept nowhere. */
  add(name: string, role: Role, now: Millis): { readonly remote: Remote; readonly token: string } {
    const token = randomBytes(32).toString('base64url');
    const { lastInsertRowid } = this.#db
      .prepare('INSERT INTO remote (name, role, token_hash, paired_at) VALUES (?, ?, ?, ?)')
      .run(name, role, hashOf(token), Math.round(now));
    return { remote: { id: Number(lastInsertRowid), name, role, pairedAt: Math.round(now), seenAt: null }, token };
  }

  /** Those that are not revoked. */
  known(): KnownRemote[] {
    return this.#db
      .prepare(
        'SELECT id, name, role, paired_at AS pairedAt, seen_at AS seenAt, token_hash AS tokenHash FROM remote WHERE revoked_at IS NULL ORDER BY id',
      )
      .all() as KnownRemote[];
  }

  seen(id: number, now: Millis): void {
    this.#db.prepare('UPDATE remote SET seen_at = ? WHERE id = ?').run(Math.round(now), id);
  }

  /** @returns whether there was such a remote. */
  revoke(id: number, now: Millis): boolean {
    return (
      this.#db.prepare('UPDATE remote SET revoked_at = ? WHERE id = ? AND revoked_at IS NULL').run(Math.round(now), id).changes > 0
    );
  }
}

export const hashOf = (token: string): string => createHash('sha256').update(token).digest('hex');
