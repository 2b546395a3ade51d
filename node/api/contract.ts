import { z } from 'zod';
import type { OutputReport } from '../core/report.ts';
import type { Hertz, Level, Millis, Universe } from '../core/units.ts';

/** How a client on the same machine finds the running node: a file in the data folder that only its user can read. */
export const nodeFile = z.object({ pid: z.int(), url: z.url(), token: z.string().min(32) });
export type NodeFile = z.infer<typeof nodeFile>;
export const NODE_FILE = 'node.json';

/** Every refusal: one sentence, and the places if it is about a document. */
export interface Refusal {
  readonly error: string;
  readonly problems?: readonly { readonly path: string; readonly message: string }[];
}

export interface Status {
  readonly node: { readonly name: string; readonly version: string; readonly startedAt: Millis };
  readonly show: { readonly id: string; readonly name: string; readonly revision: number };
  readonly playing: readonly Playing[];
  readonly buttons: readonly ButtonStatus[];
  readonly masters: { readonly all: Level; readonly groups: Readonly<Record<string, Level>> };
  readonly blackout: boolean;
  readonly bpm: number;
  /** Frames drawn since the engine began to play this show. */
  readonly frames: number;
  readonly rate: Hertz;
  readonly universes: readonly { readonly universe: Universe; readonly levels: readonly number[] }[];
  readonly outputs: readonly OutputReport[];
}

export interface Playing {
  readonly item: string;
  readonly name: string;
  readonly button: string | null;
  /** `coming` and `going` are on their way; `weight` says how far. */
  readonly state: 'coming' | 'on' | 'going';
  readonly weight: Level;
  readonly startedAt: Millis;
}

export interface ButtonStatus {
  readonly id: string;
  readonly name: string;
  readonly line: string;
  readonly on: boolean;
}

export interface Imported {
  readonly show: string;
  readonly name: string;
  readonly revision: number;
}
