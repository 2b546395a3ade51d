const LOST = 'it is left out, and nothing drives it';

/** Says that a lamp has a channel which no show can drive: who brings the lamp must know it before the day. */
export const loss = (why: string): string => `${why}; ${LOST}`;

/** Whether a line about a file tells of such a channel. */
export const isLoss = (line: string): boolean => line.endsWith(LOST);
