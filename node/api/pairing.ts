import { renderSVG } from 'uqr';
import type { Clock } from '../core/ports.ts';
import type { Role } from '../core/roles.ts';
import type { Millis } from '../core/units.ts';
import type { RemoteTable } from '../store/remotes.ts';
import { CLAIM_WITHIN, Codes, INVITATION_HOLDS } from './codes.ts';
import type { Invitation, RemoteRow } from './contract.ts';

export interface PairingParts {
  readonly remotes: RemoteTable;
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
    const { code, expiresAt } = this.#codes.make(role, this.#parts.clock.now(), INVITATION_HOLDS);
    const url = `${base}/#pair=${code}`;
    return { code, role, url, qr: renderSVG(url, { border: 2 }), expiresAt };
  }

  /** @returns the token of a new remote, or undefined when the code is wrong, used or too old. */
  pair(code: string, name: string): string | undefined {
    const now = this.#parts.clock.now();
    const role = this.#codes.use(code, now);
    if (role === undefined) return undefined;
    // Claimed: the code on the console is worth nothing from here on.
    if (this.#claim !== undefined) this.#codes.use(this.#claim.code, now);
    this.#claim = undefined;
    return this.#parts.remotes.add(name, role, now).token;
  }

  list(): RemoteRow[] {
    return this.#parts.remotes.list().map((remote) => ({ ...remote, connected: this.#parts.connected(remote.id) }));
  }

  revoke(id: number): boolean {
    const was = this.#parts.remotes.revoke(id, this.#parts.clock.now());
    if (was) this.#parts.revoked(id);
    return was;
  }

  /** From the machine itself: nobody is paired any more. */
  revokeAll(): void {
    for (const { id } of this.#parts.remotes.list()) this.revoke(id);
  }
}
