import type { Millis } from './units.ts';

/** What remotes and the node agree on beside their messages (`api/contract.ts`). */

/** A remote beats this often; one that has missed three is taken for gone, and so is a node that has not answered three. */
export const BEAT_EVERY: Millis = 1000;
/** While its page is looked at it beats more often, so that a silence is seen within a second. */
export const BEAT_IN_VIEW: Millis = 300;
export const BEATS_MISSED = 3;

/** Slots that one remote may drive by hand at once. */
export const MOST_BY_HAND = 64;

/** The look of calm warm light that every show has. No show can name anything so. */
export const LIGHTS_UP = 'look:*lights-up';
/** Light to work by, of every node: over everything while the crew works. */
export const CREW_LIGHT = 'look:*crew-light';

/** Where in the room light falls: the bands of the picture on top of Tonight. */
export const bands = ['ceiling', 'walls', 'floor', 'air'] as const;
export type Band = (typeof bands)[number];

/**
 * A binary frame of levels: universe as two octets, high first, then its 512 slots from slot 1. One for every universe that changed
 * since the frame before.
 */
export const LEVELS_HEADER = 2;
