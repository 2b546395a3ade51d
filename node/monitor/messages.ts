import type { Hertz, Millis, Universe } from '../core/units.ts';

/** What the worker is started with. */
export interface MonitorSettings {
  /** E1.31 component identifier of this node, 16 bytes: what bears it is our own. */
  readonly cid: Uint8Array;
}

/** What to listen for from now on. */
export interface Watch {
  readonly universes: readonly Universe[];
  /** Interfaces by name or address; undefined among them: every one that is up. */
  readonly interfaces: readonly (string | undefined)[];
}

/** Somebody else who sends sACN on one of our universes. */
export interface SacnSource {
  readonly universe: Universe;
  /** As it calls itself, fit to be shown. */
  readonly name: string;
  readonly address: string;
  readonly priority: number;
  readonly perSecond: Hertz;
  readonly lastSeenAt: Millis;
}

export type FromMonitor =
  | { readonly kind: 'sources'; readonly sources: readonly SacnSource[] }
  /** The system refuses something, by its code. Told once until the links change. */
  | { readonly kind: 'trouble'; readonly code: string };
