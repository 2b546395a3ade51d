import { z } from 'zod';
import { plainText } from '../core/text.ts';
import type { Millis, Universe } from '../core/units.ts';
import { id } from '../rig/fixture-type.ts';
import { askedChange, type Change } from '../show/change.ts';
import { kinds, type Part, type Show } from '../show/document.ts';
import type { Clash } from '../show/edit.ts';
import type { HistoryRow, Why } from '../show/history.ts';
import type { Fault } from '../show/places.ts';

/** What is exchanged about changing a show: the part of `contract.ts` that the bench uses. */

/** A rig of two thousand lights may be taken out in one go, and every look and chase with it. */
const MOST_CHANGES = 10_000;
/** Bytes of the longest message of an editor: a long chase as it was and as it is to be, or some hundreds of lights. */
export const LONGEST_EDIT = 1024 * 1024;

/** `POST /api/local/show/edit`, and `edit` on the socket: a few changes of the show that plays, all or none. */
export const editRequest = z.strictObject({
  /** Made by the editor: what is sent again is made once. */
  editId: plainText.min(8).max(64),
  changes: z.array(askedChange).min(1).max(MOST_CHANGES),
  /** Edits of one pull, or of one stretch of typing, are taken back together. */
  gesture: plainText.min(1).max(64).optional(),
  /** Which show the editor saw: where another one is open meanwhile nothing is changed. */
  show: id.optional(),
  /** The editor works only here: it is stored, and where it changes any light it is held back until somebody shows it. */
  here: z.boolean().optional(),
});
export type EditRequest = z.infer<typeof editRequest>;

/**
 * `sample` on the socket: what a pull comes to just now. It goes to the lights and not into the store, and is not answered; an edit follows. Only how
 * things look and move can be pulled. `over`: what some lights do, tried over all that plays while such samples come, and in no document: how a head is
 * steered by hand.
 */
export const sampleRequest = z.strictObject({
  changes: z.array(askedChange).max(MOST_CHANGES),
  show: editRequest.shape.show,
  over: kinds.look.one.shape.parts.optional(),
});
export type SampleRequest = z.infer<typeof sampleRequest>;

/**
 * `step` on the socket: takes back what this person has done last and still stands, or brings back what they took back last. `anyway`: also
 * what somebody else has changed since, which a clash has told of before; `leave`: theirs stays, and the next is what this person did before.
 */
export const stepRequest = z.strictObject({
  editId: editRequest.shape.editId,
  way: z.enum(['undo', 'redo']),
  anyway: z.boolean().default(false),
  leave: z.boolean().default(false),
  show: editRequest.shape.show,
  here: editRequest.shape.here,
});
export type StepRequest = z.infer<typeof stepRequest>;

/** `restore` on the socket: makes the show what it was at another revision of it, as a new one. */
export const restoreRequest = z.strictObject({
  editId: editRequest.shape.editId,
  revision: z.int().positive(),
  show: editRequest.shape.show,
  here: editRequest.shape.here,
});
export type RestoreRequest = z.infer<typeof restoreRequest>;

/**
 * Answered when it is stored. `faults`: what keeps the draft from being played; `held`: who holds it back from the lights. With clashes nothing
 * was changed.
 */
export type EditAnswer =
  | {
      readonly ok: true;
      readonly revision: number;
      readonly faults: readonly Fault[];
      readonly what?: string;
      readonly held?: string;
    }
  | { readonly ok: false; readonly clashes: readonly Clashed[] };

/** What stood in the way of an edit, and who put it there. */
export interface Clashed extends Clash {
  readonly by?: { readonly revision: number; readonly who: string };
}

/** Told to every operator, the editor too: an edit as it was accepted. */
export interface Edited {
  readonly revision: number;
  /** The revision that it was applied to. */
  readonly from: number;
  readonly who: string;
  readonly why: Why;
  /** In plain words: `colour of Dinner`. */
  readonly what: string;
  readonly changes: readonly Change[];
  /** What keeps the draft from being played. */
  readonly faults: readonly Fault[];
  /** Who holds it back from the lights. */
  readonly held?: string;
}

/** `GET /api/bench` (operator): the draft that edits are made of. `POST /api/bench/release`: what of it was held back goes to the lights. */
export interface BenchDraft {
  readonly show: Show;
  readonly revision: number;
  readonly faults: readonly Fault[];
  /** Who holds back from the lights what was changed last. */
  readonly held?: string;
}

/** `GET /api/bench/steps` (operator): in words what this person can take back, and bring back again. */
export interface BenchSteps {
  readonly undo?: string;
  readonly redo?: string;
}

/** `GET /api/bench/seen` (operator): what goes to the lights now, as the parts of a look. */
export interface TakenLook {
  readonly parts: readonly Part[];
  /** What of it is not in the look, a sentence each. */
  readonly left: readonly string[];
  /** Masters that hold light back now: they are not in `parts`, for they will hold the look back again. */
  readonly held?: {
    /** `Levels (All lights at 50 % and Walls at 40 %)`. */
    readonly words: string;
    /** The look as it is seen behind them. */
    readonly seen: readonly Part[];
  };
}

/** Another controller that is heard on universes of the show. */
export interface HeardSender {
  readonly id: string;
  readonly protocol: 'sacn' | 'artnet';
  readonly name: string;
  readonly address: string;
  readonly universes: readonly Universe[];
  /** sACN only. */
  readonly priority?: number;
  readonly perSecond: number;
  /** Milliseconds since it was last heard. */
  readonly ago: Millis;
  /** How many lights of the show it sends all slots of. */
  readonly lights: number;
  /** Universes on which lights follow another that has the higher priority. */
  readonly outranked: readonly Universe[];
}

/**
 * `GET /api/bench/heard?of=ID` (operator): who else sends on universes of the show that is being made, and what the one sends as the parts of a
 * look. The node listens for ten seconds behind each question.
 */
export interface HeardAnswer {
  readonly senders: readonly HeardSender[];
  /** Names of those who send sACN as preview data alone. */
  readonly previews: readonly string[];
  /** Where is listened. */
  readonly universes: readonly Universe[];
  /** Those of them on which Art-Net cannot be heard, as nothing is sent there by Art-Net. */
  readonly sacnOnly: readonly Universe[];
  /** How many lights of the show have an address. */
  readonly lights: number;
  /** Where the node is reached. */
  readonly address: string;
  readonly look?: TakenLook;
}

/** `GET /api/bench/history?before=N` (operator): revisions of the show, the newest first. */
export type BenchHistory = readonly HistoryRow[];

/** `GET /api/bench/history/REVISION` (operator): the show as it was then. */
export interface BenchRevision {
  readonly row: HistoryRow;
  readonly show: Show;
}

/** A kind of lamp that may be added to the show. */
export interface TypeChoice {
  readonly id: string;
  readonly name: string;
  readonly maker?: string;
  readonly from: 'library' | 'import' | 'show';
  /** What people call its kind: the first is said, all of them are found. */
  readonly words: readonly string[];
  /** What such a lamp is mostly hung for. */
  readonly use: Show['fixtures'][number]['use'];
  /** `channels` of the first start address; `sizes` of all of them. */
  readonly modes: readonly {
    readonly id: string;
    readonly name: string;
    readonly channels: number;
    readonly sizes: readonly number[];
  }[];
}

/** `GET /api/bench/types` (operator): those of the library and those that were imported. `POST` takes in the bytes of a GDTF file. */
export type TypeChoices = readonly TypeChoice[];

/** `POST /api/bench/types?name=FILE` (operator): what a file came to, and what of it is not used, in plain words. */
export interface TypeTaken extends TypeChoice {
  readonly left: readonly string[];
}
