import { z } from 'zod';
import { command } from '../core/commands.ts';
import type { HeldBack } from '../core/held-back.ts';
import { SLOTS } from '../core/levels.ts';
import { universeNumber } from '../core/output-settings.ts';
import { type Band, MOST_BY_HAND } from '../core/remote.ts';
import type { OutputReport } from '../core/report.ts';
import { type Role, roles } from '../core/roles.ts';
import { plainText } from '../core/text.ts';
import type { Hertz, Level, Millis, PortAddress, Seconds, Universe } from '../core/units.ts';
import type { TypeFact } from '../rig/type-facts.ts';
import { type EditAnswer, type Edited, editRequest, restoreRequest, sampleRequest, stepRequest } from './edit-contract.ts';

/**
 * Every message between the node and its remotes, in one place: the web app, the command line and the node import it from here. What is
 * exchanged about changing a show is in `edit-contract.ts`, what the command line alone exchanges with a running node in `local-contract.ts`.
 * What comes in has a schema and is parsed where it enters; what goes out has a type.
 */

/** Every refusal: one sentence, and the places if it is about a document. */
export interface Refusal {
  readonly error: string;
  readonly problems?: readonly { readonly path: string; readonly message: string }[];
}

// ---- Pairing ----------------------------------------------------------------------------------------------------------------------

/** `POST /api/pair`: a phone that has read a code. The answer sets the cookie that is its token. */
export const pairRequest = z.strictObject({
  /** Eight characters as printed, in capitals or not, with or without the hyphen. */
  code: z.string().min(8).max(12),
  /** What the phone shall be called in the list of remotes. */
  name: plainText.trim().min(1).max(40),
});

/** `GET /api/me`: who this browser is to the node. Answered without a token too. */
export interface Me {
  /** Null: not paired. */
  readonly remote: { readonly id: number; readonly name: string; readonly role: Role } | null;
  /** The node still waits for its first phone: the code is on its console and `duskhand pair` shows it. */
  readonly claimable: boolean;
}

/** `POST /api/invitations` (operator): a code by which one more phone may join. */
export const invitationRequest = z.strictObject({ role: z.enum(roles) });
export interface Invitation {
  readonly code: string;
  readonly role: Role;
  /** Address that the QR holds. */
  readonly url: string;
  /** QR as an SVG document. */
  readonly qr: string;
  readonly expiresAt: Millis;
}

/** `GET /api/remotes` (operator). `DELETE /api/remotes/:id` revokes one; its connection ends at once. */
export interface RemoteRow {
  readonly id: number;
  readonly name: string;
  readonly role: Role;
  readonly pairedAt: Millis;
  readonly seenAt: Millis | null;
  readonly connected: boolean;
}

/** `GET /api/held-back` (operator): what guards held back tonight, the newest first. */
export type HeldBackRow = Omit<HeldBack, 'guard'>;

// ---- The socket: `/ws`, JSON text both ways, and binary frames of levels from the node ----------------------------------------------

export const fromRemote = z.discriminatedUnion('type', [
  /** Answered by `done` or `refused` with the same `id`. Hits pressed here let go when the connection ends. */
  z.strictObject({ type: z.literal('command'), id: z.int().min(0), command }),
  /** Operator: answered by `edited` or `refused` with the same `id`. */
  z.strictObject({ type: z.literal('edit'), id: z.int().min(0), edit: editRequest }),
  /** Operator: not answered. */
  z.strictObject({ type: z.literal('sample'), sample: sampleRequest }),
  /** Operator: answered like an edit. */
  z.strictObject({ type: z.literal('step'), id: z.int().min(0), step: stepRequest }),
  z.strictObject({ type: z.literal('restore'), id: z.int().min(0), restore: restoreRequest }),
  /** Sign of life, answered by `beat` with the same `id`: the difference is the round trip. `trip` is the last one measured. */
  z.strictObject({ type: z.literal('beat'), id: z.int().min(0), trip: z.number().min(0).optional() }),
  /** Operator: from now on binary frames of levels, `rate` a second at most, and `wire` reports; 0 ends it. */
  z.strictObject({ type: z.literal('watch-wire'), rate: z.number().min(0).max(30) }),
  /**
   * Operator: by hand, over whatever plays, until the page goes away. One slot to a value, a fixture lit up (`identify`), or nothing any
   * more (both absent). It passes the guards like everything else.
   */
  z.strictObject({
    type: z.literal('by-hand'),
    id: z.int().min(0),
    slots: z
      .array(z.strictObject({ universe: universeNumber, slot: z.int().min(1).max(SLOTS), value: z.int().min(0).max(255) }))
      .max(MOST_BY_HAND)
      .optional(),
    identify: z.string().max(60).optional(),
  }),
]);
export type FromRemote = z.infer<typeof fromRemote>;

export type ToRemote =
  | Hello
  | { readonly type: 'state'; readonly state: State }
  | Picture
  | PictureChange
  | Seen
  /** Another phone, by its name, has taken what this page drove by hand. */
  | { readonly type: 'hands-lost'; readonly to: string }
  | { readonly type: 'done'; readonly id: number }
  | { readonly type: 'edited'; readonly id: number; readonly answer: EditAnswer }
  | { readonly type: 'change'; readonly change: Edited }
  /** Operator: the list of shows is another, or another show is edited. */
  | { readonly type: 'shelf' }
  | { readonly type: 'refused'; readonly id: number; readonly error: string }
  | { readonly type: 'beat'; readonly id: number; readonly at: Millis }
  | WireReport;

/** First on every connection, and again when the show changes. */
export interface Hello {
  readonly type: 'hello';
  readonly you: { readonly id: number; readonly name: string; readonly role: Role };
  readonly node: { readonly name: string; readonly version: string };
  /** The node's clock, to count fades and countdowns by. */
  readonly now: Millis;
  /** The date and time on the node, to which `pairedAt`, `seenAt` and `expiresAt` refer. */
  readonly wall: Millis;
  readonly show: ShowSummary;
}

/** What a remote needs to know of a show. */
export interface ShowSummary {
  readonly id: string;
  readonly name: string;
  readonly demo: boolean;
  readonly buttons: readonly ButtonSummary[];
  readonly moments: readonly MomentSummary[];
  readonly groups: readonly { readonly id: string; readonly name: string }[];
  /** The client's colours by their CIE 1931 chromaticity: what light is called. */
  readonly theme: readonly { readonly name: string; readonly at: readonly [x: number, y: number] }[];
  /** Its uses, with the name that people give to their light, and the group whose master is theirs. */
  readonly uses: readonly { readonly id: string; readonly use: string; readonly name: string; readonly band: Band }[];
  readonly fixtures: readonly FixtureSummary[];
  /** The kinds of its lamps, each once, with what is known of them besides their channels, and how many it has. */
  readonly types: readonly { readonly name: string; readonly count: number; readonly facts: readonly TypeFact[] }[];
}

export interface MomentSummary {
  readonly id: string;
  readonly name: string;
  readonly buttons: readonly string[];
  /** What begins with it and what goes, by name. */
  readonly starts: readonly string[];
  readonly stops: readonly string[];
  /** Whatever else plays on its lights goes as well. */
  readonly alone?: true;
  readonly notes?: string;
}

export interface ButtonSummary {
  readonly id: string;
  readonly name: string;
  readonly line: string;
  /** What its lamps do not do as it asks, in words: a colour that they cannot reach. */
  readonly notes: readonly string[];
  /** How bright its lamps are beside each other is guessed by their kind: for whoever makes the look, not for the night. */
  readonly guessed?: true;
  /** `hold` while it starts a hit: it acts for as long as it is held. */
  readonly kind: 'press' | 'hold';
  /** Uses of the fixtures that it touches. */
  readonly uses: readonly string[];
  /** What it alone shows, as the picture does, once it has come: one moment, or several of what moves. */
  readonly frames: readonly ButtonFrame[];
  /** It asks for haze: the venue must be asked first. */
  readonly haze?: true;
  /** Seconds after which a hit lets go by itself. */
  readonly longest?: Seconds;
}

/** Places and values, one after the other: of lit fixtures their colour, of heads pan and tilt (two places each, as in `Picture.aims`). */
export interface ButtonFrame {
  readonly colours: readonly number[];
  readonly aims: readonly number[];
}

export interface FixtureSummary {
  readonly id: string;
  readonly name: string;
  readonly use: string;
  readonly band: Band;
  readonly typeName: string;
  readonly modeName: string;
  readonly universe: Universe;
  readonly address: number;
  /** What the patch changes of this one lamp, in words; absent: nothing. */
  readonly adjusted?: readonly string[];
  /** It turns: the picture has its pan and tilt. */
  readonly head?: true;
  /** What every slot of it is, from its first; of a lamp with several start addresses those of the first. */
  readonly channels: readonly ChannelSummary[];
  /** Its other start addresses. */
  readonly further?: readonly {
    readonly universe: Universe;
    readonly address: number;
    readonly channels: readonly ChannelSummary[];
  }[];
}

export interface ChannelSummary {
  /** Slot of the universe, from 1. */
  readonly slot: number;
  readonly attribute: string;
  /** `Red`, `Pan (fine)`: what a person calls it. */
  readonly label: string;
  /** Ranges with their meaning, to put a value into plain words: linear from `low` at `from` to `high` at `to`. */
  readonly ranges: readonly {
    readonly from: number;
    readonly to: number;
    readonly low: number;
    readonly high: number;
    readonly unit: string;
  }[];
  /** Of a wheel what is in at each of its places, from 1. */
  readonly places?: readonly string[];
}

/** What plays. Sent on every change, and once a second while something is on its way. */
export interface State {
  readonly now: Millis;
  readonly playing: readonly Playing[];
  readonly buttons: readonly ButtonState[];
  /** Where each master stands, or is on its way to. */
  readonly masters: { readonly all: Level; readonly groups: Readonly<Record<string, Level>> };
  readonly blackout: boolean;
  readonly bpm: number;
  /** The last press, which `undo` takes back by its number. */
  readonly undo?: {
    readonly number: number;
    readonly at: Millis;
    /** What it goes back to: the name of what was on; null: nothing was. */
    readonly to: string | null;
    /** It put but haze into the air, called so, over what is on: that alone goes. */
    readonly without?: string;
  };
  /** How the evening stands beside its plan; absent where the show has none. */
  readonly evening?: EveningState;
  /** Until when what plays is left to the node, without a phone. */
  readonly left?: { readonly until: Millis };
  /** Somebody has said tonight that the venue permits haze. */
  readonly hazeAllowed: boolean;
  /** People work at the lights: heads stand, nothing strobes, hazes or beams. */
  readonly crew: boolean;
  /** Lasers are armed for this run; absent where the show has none. */
  readonly lasers?: 'closed' | 'armed';
  /** Most flashes in any second that the guard lets through: more than three where an operator has raised it. */
  readonly flashes: Hertz;
  readonly watch: WatchState;
  readonly troubles: readonly Trouble[];
}

export interface EveningState {
  /** The date and time on the node, in epoch milliseconds, to which the others here refer. */
  readonly wall: Millis;
  /** The moment that is on, by its id. */
  readonly on: string | null;
  /** Minutes by which what is still to come is later than planned. */
  readonly late: number;
  /** Tonight's order, and when each is due. */
  readonly moments: readonly { readonly id: string; readonly at?: Millis; readonly automatic?: true }[];
}

export interface Playing {
  readonly item: string;
  readonly name: string;
  readonly button: string | null;
  readonly unattended: boolean;
  /** `coming` and `going` are on their way; `weight` says how far. `away`: the fallback took it, `resume` brings it back. */
  readonly state: 'coming' | 'on' | 'going' | 'away';
  readonly weight: Level;
  /** Somebody tries it on the bench: it goes with them. */
  readonly tried?: true;
  /** Nothing of it is seen: something above covers it wholly. */
  readonly isUnderneath: boolean;
  readonly startedAt: Millis;
}

export interface ButtonState {
  readonly id: string;
  readonly name: string;
  readonly line: string;
  /** As in its summary; absent where there are none. */
  readonly notes?: readonly string[];
  /**
   * `underneath`: it plays, and nothing of it is seen, for something else covers it wholly; `partly`: some of what it has started is still
   * seen, and the rest has gone.
   */
  readonly state: 'off' | 'coming' | 'on' | 'partly' | 'underneath' | 'going';
  /** While coming or going: start and end of the fade on the node's clock. */
  readonly fade?: { readonly from: Millis; readonly until: Millis };
}

export interface WatchState {
  /**
   * `free`: what plays needs nobody. `kept`: somebody is there. `warned`: the countdown runs. `fallen`: the fallback has come, and nobody
   * has pressed anything attended since.
   */
  readonly phase: 'free' | 'kept' | 'warned' | 'fallen';
  /** While warned: when the fallback comes. While fallen: when it came. */
  readonly at?: Millis;
  /** What the fallback is, in words: `blackout`, or the name of a look. */
  readonly fallback: string;
  /** There is something that the fallback took away and `resume` would bring back. */
  readonly canResume: boolean;
}

/** Trouble speaks once, in three parts. */
export interface Trouble {
  readonly id: string;
  readonly happened: string;
  readonly guestsSee: string;
  readonly todo: string;
}

/** The light that really goes to the wire, up to twenty times a second while it changes: sRGB of every fixture, in the order of `fixtures`. */
export interface Picture {
  readonly type: 'picture';
  /** Packed 0xRRGGBB; 0 is dark. */
  readonly colours: readonly number[];
  /** Pan and tilt of every head, one after the other, in whole degrees: in the order of those of `fixtures` that are `head`s. */
  readonly aims: readonly number[];
}

/** What has changed since the picture before: places and values, one after the other. */
export interface PictureChange {
  readonly type: 'picture-change';
  readonly colours: readonly number[];
  readonly aims: readonly number[];
}

/** What guests see, worked out from the light that really goes to the wire. Sent when it changes. */
export interface Seen {
  readonly type: 'seen';
  /** `Walls champagne and sage, low. Beams iris, moving.`, or `Dark: blackout.` */
  readonly line: string;
  readonly dark: boolean;
  /** What is lit, by use. */
  readonly parts: readonly SeenPart[];
  /** Whether what is worked out leaves the node: `unknown` before it has reported. That it arrives no node can know. */
  readonly sent: 'all' | 'partly' | 'nowhere' | 'unknown';
  /** What a guard keeps from being seen just now, in sentences. */
  readonly held: readonly string[];
  /** What waits for a person's word before it plays, in sentences: haze that nobody has permitted, lasers that nobody has armed. */
  readonly closed: readonly string[];
  /** What whoever presses would like to know besides, for a while: beams without haze, a machine that warms up. */
  readonly hints: readonly string[];
}

export interface SeenPart {
  readonly use: string;
  readonly name: string;
  /** `champagne and sage, low`. */
  readonly words: string;
  readonly lit: number;
  readonly of: number;
  readonly moves: boolean;
  readonly changes: boolean;
}

/** Twice a second while the wire is watched. */
export interface WireReport {
  readonly type: 'wire';
  readonly outputs: readonly OutputReport[];
  readonly frames: number;
  readonly rate: Hertz;
  readonly worstInterval: Millis;
  readonly sources: readonly ForeignSource[];
}

/** Somebody else who sends sACN or Art-Net on one of our universes. */
export interface ForeignSource {
  readonly protocol: 'sacn' | 'artnet';
  readonly universe: Universe;
  readonly portAddress?: PortAddress;
  readonly name: string;
  readonly address: string;
  /** sACN only. */
  readonly priority?: number;
  readonly perSecond: number;
  /** What it means for our lights, in one plain sentence. */
  readonly meaning: string;
  readonly lastSeenAt: Millis;
}
