import type { ForeignReport } from '../core/report.ts';
import type { Hertz, Millis, Universe } from '../core/units.ts';

/** What to listen for from now on. */
export interface Watch {
  readonly universes: readonly Universe[];
  /** Interfaces by name or address; undefined among them: every one that is up. */
  readonly interfaces: readonly (string | undefined)[];
  /** E1.31 component identifiers of our outputs, 16 bytes each: what bears one is our own. */
  readonly own: readonly Uint8Array[];
  /** Whether ArtDmx is listened to as well: no output of ours does. */
  readonly artnet: boolean;
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
  /** Its CID in hexadecimal digits: the same on all universes. */
  readonly cid: string;
  /** Memory of the {@link HeardLevels}. */
  readonly levels: SharedArrayBuffer;
}

/** What the thread has heard of late. */
export interface HeardOfLate {
  readonly sources: readonly SacnSource[];
  /** Names of those who send preview data alone. */
  readonly previews: readonly string[];
  /** ArtDmx, while that is listened to. */
  readonly streams: readonly ForeignReport[];
}

export type FromMonitor =
  | ({ readonly kind: 'heard' } & HeardOfLate)
  /** The system refuses something, by its code. Told once until the links change. */
  | { readonly kind: 'trouble'; readonly code: string };
