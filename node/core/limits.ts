/** Things that play at once at most: more than a night can pile up. Past it the oldest goes. Bounds the work of a frame. */
export const MOST_AT_ONCE = 64;

/** Minutes for which what plays may be left to the node at most: a person looks in between. */
export const LONGEST_LEFT = 60;

/** Minutes by which an evening may be later than planned, or earlier. */
export const MOST_LATE = 240;

/** Tempos that can be asked for, in beats a minute. */
export const SLOWEST_TEMPO = 20;
export const FASTEST_TEMPO = 300;

/** WCAG 2.2, success criterion 2.3.1: not more than three flashes in any one-second period; ITU-R BT.1702 says the same of pictures. */
export const MOST_FLASHES = 3;
/**
 * The most that an operator may raise that to, in flashes a second. Our choice: the quickest beats that music asks for, and still four frames for each
 * flash, so that they come evenly. Photosensitive people react most often at 15 to 25 a second (from memory), and many do below ten.
 */
export const HIGHEST_FLASHES = 10;
