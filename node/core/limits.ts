/** Things that play at once at most: more than a night can pile up. Past it the oldest goes. Bounds the work of a frame. */
export const MOST_AT_ONCE = 64;

/** Minutes for which what plays may be left to the node at most: a person looks in between. */
export const LONGEST_LEFT = 60;

/** Minutes by which an evening may be later than planned, or earlier. */
export const MOST_LATE = 240;

/** Tempos that can be asked for, in beats a minute. */
export const SLOWEST_TEMPO = 20;
export const FASTEST_TEMPO = 300;
