import type { Command } from '../core/commands.ts';
import type { OutputReport } from '../core/report.ts';
import type { Hertz, Millis, Universe } from '../core/units.ts';
import type { PlayState } from '../playback/state.ts';
import type { Show } from '../show/document.ts';

/** A show with what plays of it and the memory for its levels: all that the engine needs to go on. */
export interface Load {
  readonly show: Show;
  readonly state: PlayState;
  readonly universes: readonly Universe[];
  readonly memory: SharedArrayBuffer;
}

/** What the worker is started with. */
export interface EngineSettings {
  readonly load: Load;
  /** Memory of the {@link Heartbeat} that says when a person was last heard of. */
  readonly heartbeat: SharedArrayBuffer;
  readonly rate: Hertz;
  /** E1.31 component identifier, 16 bytes. */
  readonly cid: Uint8Array;
  readonly nodeName: string;
  /** Major version in the high byte, minor in the low one, as ArtPollReply carries it. */
  readonly firmwareVersion: number;
}

/** What somebody drives by hand at the wire page, over whatever plays. Blackout and fallback stand above it. */
export interface ByHand {
  readonly slots: readonly { readonly universe: Universe; readonly slot: number; readonly value: number }[];
  /** A fixture that is lit up in open white, to find it in the room. */
  readonly identify?: string;
}

export type ToEngine =
  | { readonly kind: 'command'; readonly command: Command; readonly at: Millis }
  | { readonly kind: 'load'; readonly load: Load }
  | { readonly kind: 'by-hand'; readonly byHand: ByHand }
  | { readonly kind: 'stop' };

export type FromEngine =
  | { readonly kind: 'first-frame'; readonly at: Millis }
  | { readonly kind: 'report'; readonly report: EngineReport }
  /** What the engine did by itself, because nobody was heard of. */
  | { readonly kind: 'command'; readonly command: Command; readonly at: Millis }
  | { readonly kind: 'log'; readonly line: string }
  | { readonly kind: 'stopped' };

export interface EngineReport {
  readonly at: Millis;
  readonly frames: number;
  /** Longest distance between two frames since the report before, where a deadline was to be kept. */
  readonly worstInterval: Millis;
  readonly outputs: readonly OutputReport[];
}
