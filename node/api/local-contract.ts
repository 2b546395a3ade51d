import { z } from 'zod';
import type { OutputReport } from '../core/report.ts';
import type { Hertz, Millis, Universe } from '../core/units.ts';
import type { TypeFact } from '../rig/type-facts.ts';
import type { State } from './contract.ts';

/** What the command line and a running node on the same machine say to each other (`/api/local`), besides what `contract.ts` holds for all. */

/** How a client on the same machine finds the running node: a file in the data folder that only its user can read. */
export const nodeFile = z.object({ pid: z.int(), url: z.url(), token: z.string().min(32) });
export type NodeFile = z.infer<typeof nodeFile>;
export const NODE_FILE = 'node.json';

/** `GET /api/local/settings/flags`: what the command line of the running node says over its settings, by flag. */
export type FlagsOver = Readonly<Record<string, string>>;

export interface Status extends State {
  readonly node: { readonly name: string; readonly version: string; readonly startedAt: Millis };
  readonly show: { readonly id: string; readonly name: string; readonly revision: number };
  /** Frames drawn since the engine began to play this show. */
  readonly frames: number;
  readonly rate: Hertz;
  readonly universes: readonly { readonly universe: Universe; readonly levels: readonly number[] }[];
  readonly outputs: readonly OutputReport[];
}

/** `POST /api/local/play/command`: what came of a release. Other commands are answered with nothing. */
export interface Released {
  /** `held`: a phone holds the hit, it plays on until that lets go. */
  readonly outcome: 'let go' | 'held' | 'was not on';
  /** The words on the button. */
  readonly name: string;
}

export interface Imported {
  readonly show: string;
  readonly name: string;
  readonly revision: number;
  /** What else to say of it, in a sentence. */
  readonly note?: string;
}

/** Bytes of a GDTF file that are taken in at most. */
export const LARGEST_TYPE_FILE = 64 * 1024 * 1024;

/** A kind of fixture that a show may name. */
export interface TypeRow {
  readonly id: string;
  readonly name: string;
  readonly from: 'library' | 'import';
  readonly modes: readonly { readonly id: string; readonly name: string; readonly channels: number }[];
  /** What is known of it besides its channels, in words. */
  readonly facts: readonly TypeFact[];
}

/** `POST /api/local/types`: what a file came to, and what of it is not used, in plain words. */
export interface ImportedType extends Omit<TypeRow, 'from' | 'facts'> {
  readonly left: readonly string[];
}

/** `POST /api/local/types/:id/again`: whether its file comes to another type than when it was read before. */
export interface ReadAgain {
  readonly changed: boolean;
  readonly left: readonly string[];
}

/** `DELETE /api/local/machine/remotes/:id`, a number or `all`: whom the node has forgotten. */
export interface Forgotten {
  readonly names: readonly string[];
}
