/**
 * What a level means: the show's levels, masters and fades are lightness, L* / 100 of CIE 1976 (CIE 15, ISO/CIE 11664-4), beside the lamp's own
 * full light as the white. Equal steps of it look about equal, so a fade is even to the eye, and 50 % is the same light on every lamp.
 */
/** L* / 100 below which lightness goes with light itself, and by how much: 8, and (29 / 3)³ / 100. */
const STRAIGHT = 0.08;
const SLOPE = (29 / 3) ** 3 / 100;

/** Share of its full light that a lamp gives at a level; what is beyond 0..1 goes on along the same curve. */
export function lightAt(level: number): number {
  if (level <= STRAIGHT) return level / SLOPE;
  const root = (level + 0.16) / 1.16;
  return root * root * root;
}

/** The level at which a lamp gives this share of its full light. */
export const levelFor = (light: number): number => (light <= STRAIGHT / SLOPE ? light * SLOPE : 1.16 * Math.cbrt(light) - 0.16);

/** A level behind a master: what is left of its light is what a master at that level leaves of full light. */
export const behindMaster = (level: number, share: number): number =>
  share === 1 ? level : Math.min(level, levelFor(lightAt(level) * share));
