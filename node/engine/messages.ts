import type { MessagePort } from 'node:worker_threads';
import type { Command } from '../core/commands.ts';
import type { Kept } from '../core/kept.ts';
import type { OutputSettings } from '../core/output-settings.ts';
import type { OutputReport } from '../core/report.ts';
import type { Hertz, Millis, Universe } from '../core/units.ts';
import type { Held } from '../guards/guard.ts';
import type { ByHand } from '../pipeline/by-hand.ts';
import type { PlayState } from '../playback/state.ts';
import type { LoadPart } from './takeover.ts';

/** What the worker begins with, and where it talks from then on. */
export interface EngineBeginning {
  readonly settings: EngineSettings;
  readonly port: MessagePort;
}

export interface EngineSettings {
  /** All parts of the first show. */
  readonly parts: readonly LoadPart[];
  readonly state: PlayState;
  readonly outputs: readonly OutputSettings[];
  /** What guards kept of the run before; absent: that is not known, or long ago. */
  readonly kept?: Readonly<Record<string, Kept>> | undefined;
  /** Memory of the {@link Bell} that wakes the engine. */
  readonly bell: SharedArrayBuffer;
  /** Memory of the {@link Heartbeat} that says when a person was last heard of. */
  readonly heartbeat: SharedArrayBuffer;
  readonly rate: Hertz;
  /** In which the times of the evening are meant, by the IANA time zone database. */
  readonly zone: string;
  /** E1.31 component identifier, 16 bytes. */
  readonly cid: Uint8Array;
  readonly nodeName: string;
  /** Major version in the high byte, minor in the low one, as ArtPollReply carries it. */
  readonly firmwareVersion: number;
}

export type ToEngine =
  | { readonly kind: 'command'; readonly number: number; readonly command: Command }
  /** Of another show, or another revision of the same: played as soon as it is made ready, between two frames. */
  | { readonly kind: 'part'; readonly part: LoadPart }
  | { readonly kind: 'outputs'; readonly outputs: readonly OutputSettings[] }
  | { readonly kind: 'zone'; readonly zone: string }
  | { readonly kind: 'by-hand'; readonly byHand: ByHand }
  /** Tell everybody again at once: it will be a while until they hear more. */
  | { readonly kind: 'repeat' }
  | { readonly kind: 'stop' };

/** One thing that changed what plays: a command by its number, or what the engine did by itself because nobody was heard of. */
export interface Acted {
  readonly command: Command;
  readonly number?: number;
}

export type FromEngine =
  /** The system's number of the thread, where there is one; comes first. */
  | { readonly kind: 'thread'; readonly id: number | undefined }
  | { readonly kind: 'first-frame'; readonly at: Millis }
  | { readonly kind: 'report'; readonly report: EngineReport }
  /** What plays, after every change of it, and by what it changed. `loaded`: the number of a load that was taken over. */
  | {
      readonly kind: 'state';
      readonly at: Millis;
      readonly state: PlayState;
      readonly acted: readonly Acted[];
      readonly loaded?: number;
    }
  | { readonly kind: 'log'; readonly line: string }
  | { readonly kind: 'stopped' };

export interface EngineReport {
  readonly at: Millis;
  readonly frames: number;
  /** Longest distance between two frames since the report before, where a deadline was to be kept. */
  readonly worstInterval: Millis;
  readonly outputs: readonly OutputReport[];
  /** Universes of the show that no output carries, ascending. */
  readonly unsent: readonly Universe[];
  /** The guards that have changed a frame since the report before. */
  readonly guards: readonly Held[];
  /** What a restart must not forgive of what they have counted, by their names. */
  readonly kept: Readonly<Record<string, Kept>>;
}
