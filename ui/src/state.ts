import { computed, type Signal, signal } from '@preact/signals';
import type { Hello, Me, Seen, State, WireReport } from '../../node/api/contract.ts';
import type { Command } from '../../node/core/commands.ts';
import { SLOTS } from '../../node/core/levels.ts';
import { maySend } from '../../node/core/roles.ts';
import { ColourNames } from '../../node/light/colour-names.ts';

/**
 * All that this page knows: what the node said last, and how the line to it stands. Only `connection.ts` and `presses.ts` write here;
 * screens read.
 */

/** Undefined until the node has answered for the first time. */
export const me = signal<Me | undefined>(undefined);
/** The node knew this phone before and does so no longer. */
export const removed = signal(false);
export const hello = signal<Hello | undefined>(undefined);
export const state = signal<State | undefined>(undefined);
/** Packed 0xRRGGBB of every fixture, in the order of the show's fixtures. */
export const picture = signal<readonly number[]>([]);
/** Pan and tilt of every head, in degrees, as the picture has them. */
export const aims = signal<readonly number[]>([]);
/** What guests see, as the node works it out from the light that goes to the wire. */
export const seen = signal<Seen | undefined>(undefined);
export const wireReport = signal<WireReport | undefined>(undefined);

export interface LinkQuality {
  /** `opening`: never yet connected since the page came up. */
  readonly phase: 'opening' | 'open' | 'lost';
  /** Last round trip measured, in milliseconds. */
  readonly trip: number | undefined;
}
export const link = signal<LinkQuality>({ phase: 'opening', trip: undefined });
/** When the node was last heard, by `performance.now()`. Apart from {@link link}, since it changes with every message. */
export const heardAt = signal(performance.now());
/** The node has not been heard for longer than it should: what is shown may not be so any more. */
export const isSilent = signal(false);
export const isOpen = computed(() => link.value.phase === 'open');

/** One line for the person, of something that did not go as asked; it leaves by itself. */
export const notice = signal<string | undefined>(undefined);

const EMPTY = new Uint8Array(SLOTS);
const levels = new Map<number, Signal<Uint8Array>>();

/** The 512 slots of a universe, slot 1 at index 0: a new array with every frame, all zero before the first. Only while the wire is watched. */
export function levelsOf(universe: number): Signal<Uint8Array> {
  const found = levels.get(universe) ?? signal(EMPTY);
  levels.set(universe, found);
  return found;
}

/** What to add to `performance.now()` to have the node's clock. */
export const clockOffset = signal(0);
export const nodeNow = (): number => performance.now() + clockOffset.value;

/** The date and time on the node at an instant of its clock, which counts from anywhere: epoch milliseconds. */
export const dateOf = (instant: number): number => instant + (hello.value === undefined ? 0 : hello.value.wall - hello.value.now);
/** The date and time on the node now. What it says of dates is compared with this; the phone's own clock may be minutes apart. */
export const nodeDate = (): number => dateOf(nodeNow());

/** What light is called: as the client calls it, and else plainly. */
export const colourNames = computed(() => new ColourNames(hello.value?.show.theme ?? []));

/** Of what changes often, what most of the page is drawn from: it is drawn anew when that changes, not with every message. */
export const hasState = computed(() => state.value !== undefined);
export const isBlackout = computed(() => state.value?.blackout === true);
export const sentTo = computed(() => seen.value?.sent);

export const role = computed(() => hello.value?.you.role ?? me.value?.remote?.role);
/** Whether this phone's role may send such a command; whether the line is up is another question ({@link isOpen}). */
export const may = (command: Command['do']): boolean => role.value !== undefined && maySend(role.value, { do: command } as Command);

/** Nothing that the node said stays on a phone that it has removed. */
export function forget(): void {
  removed.value = true;
  hello.value = undefined;
  state.value = undefined;
  picture.value = [];
  aims.value = [];
  seen.value = undefined;
  wireReport.value = undefined;
  levels.clear();
}
