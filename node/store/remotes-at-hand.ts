import type { Role } from '../core/roles.ts';
import type { Millis } from '../core/units.ts';
import { hashOf, type KnownRemote, type Remote } from './remotes.ts';
import type { Store } from './store.ts';

/** The paired remotes in memory: who is asking is known without a look at the disk; what changes is kept there first. */
export class RemotesAtHand {
  readonly #store: Pick<Store, 'ask'>;
  readonly #byHash: Map<string, Remote>;

  constructor(store: Pick<Store, 'ask'>, known: readonly KnownRemote[]) {
    this.#store = store;
    this.#byHash = new Map(known.map(({ tokenHash, ...remote }) => [tokenHash, remote]));
  }

  /** Adds a remote. @returns it with its token, which is shown to nobody else and kept nowhere. Rejects with what the disk says. */
  async add(name: string, role: Role, wall: Millis): Promise<{ readonly remote: Remote; readonly token: string }> {
    const added = await this.#store.ask('addRemote', name, role, wall);
    this.#byHash.set(hashOf(added.token), added.remote);
    return added;
  }

  byToken(token: string): Remote | undefined {
    return this.#byHash.get(hashOf(token));
  }

  list(): Remote[] {
    return [...this.#byHash.values()].sort((a, b) => a.id - b.id);
  }

  /** Notes when a remote was last here. It is for people to read only: where the disk refuses it, it is left out. */
  seen(id: number, wall: Millis): void {
    const found = [...this.#byHash].find(([, remote]) => remote.id === id);
    if (found === undefined) return;
    this.#byHash.set(found[0], { ...found[1], seenAt: Math.round(wall) });
    this.#store.ask('remoteSeen', id, wall).catch(() => undefined);
  }

  /**
   * Ended is ended, also where the disk refuses to keep it: then it is said, and the token is good again after a restart.
   * @returns whether there was such a remote. Rejects with what the disk says.
   */
  async revoke(id: number, wall: Millis): Promise<boolean> {
    const found = [...this.#byHash].find(([, remote]) => remote.id === id);
    if (found === undefined) return false;
    this.#byHash.delete(found[0]);
    await this.#store.ask('revokeRemote', id, wall);
    return true;
  }
}
