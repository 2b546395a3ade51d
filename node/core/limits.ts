/** Things that play at once at most: more than a night can pile up. Past it the oldest goes. Bounds the work of a frame. */
export const MOST_AT_ONCE = 64;
