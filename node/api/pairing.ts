import { renderSVG } from 'uqr';
import type { Clock } from '../core/ports.ts';
import type { Role } from '../core/roles.ts';
import type { Millis } from '../core/units.ts';
import type { Remote } from '../store/remotes.ts';
import type { RemotesAtHand } from '../store/remotes-at-hand.ts';
import { CLAIM_WITHIN, Codes, INVITATION_HOLDS } from './codes.ts';
import type { Invitation, RemoteRow } from './contract.ts';

export interface PairingParts {
  readonly remotes: RemotesAtHand;
  readonly clock: Clock;
  /** Ends what a revoked remote has open. */
  readonly revoked: (id: number) => void;
  readonly connected: (id: number) => boolean;
}

/** Who may touch the node: claims, invitations, paired remotes. */
export class Pairing {
  readonly #parts: PairingParts;
  readonly #codes = new Codes();
  #claim: { readonly code: string; readonly expiresAt: Millis } | undefined;

  constructor(parts: PairingParts) {
    this.#parts = parts;
  }

  /** At the start: a node that nobody has claimed gives a code for its first phone. Undefined when it has a remote already. */
  openClaim(): string | undefined {
    if (this.#parts.remotes.list().length > 0) return undefined;
    this.#claim = this.#codes.make('operator', this.#parts.clock.now(), CLAIM_WITHIN);
    return this.#claim.code;
  }

  get isClaimable(): boolean {
    return this.#claim !== undefined && this.#parts.clock.now() < this.#claim.expiresAt;
  }

  /** A code for one more phone, with a QR that leads a phone's camera to `base` and the code. */
  invite(role: Role, base: string): Invitation {
    const { clock } = this.#parts;
    const { code } = this.#codes.make(role, clock.now(), INVITATION_HOLDS);
    const url = `${base}/#pair=${code}`;
    return { code, role, url, qr: renderSVG(url, { border: 2 }), expiresAt: clock.wall() + INVITATION_HOLDS };
  }

  /** @returns a new remote with its token, or undefined when the code is wrong, used or too old. A code that the disk fails stays good. */
  async pair(code: string, name: string): Promise<{ readonly remote: Remote; readonly token: string } | undefined> {
    const { remotes, clock } = this.#parts;
    const used = this.#codes.use(code, clock.now());
    if (used === undefined) return undefined;
    try {
      const added = await remotes.add(name, used.role, clock.wall());
      // Claimed: the code on the console is worth nothing from here on.
      if (this.#claim !== undefined) this.#codes.use(this.#claim.code, clock.now());
      this.#claim = undefined;
      return added;
    } catch (error) {
      this.#codes.giveBack(used);
      throw error;
    }
  }

  list(): RemoteRow[] {
    return this.#parts.remotes.list().map((remote) => ({ ...remote, connected: this.#parts.connected(remote.id) }));
  }

  async revoke(id: number): Promise<boolean> {
    const { remotes, clock } = this.#parts;
    if (!remotes.list().some((remote) => remote.id === id)) return false;
    const kept = remotes.revoke(id, clock.wall());
    // Ended is ended, whatever the disk says of it.
    this.#parts.revoked(id);
    return await kept;
  }

  /** From the machine itself: nobody is paired any more. */
  async revokeAll(): Promise<void> {
    for (const { id } of this.#parts.remotes.list()) await this.revoke(id);
  }
}
