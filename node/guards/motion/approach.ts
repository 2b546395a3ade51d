/** How far an axis has moved, and how fast it turns then: what {@link approach} found last. Made anew it would be a heap of pairs in every frame. */
export const found = { moved: 0, speed: 0 };

/**
 * Takes an axis the fastest way to rest at `distance` from where it is: it speeds up, turns at its most, and slows down in time (a trapezoid of
 * speed). All in one unit of angle, and seconds.
 * @param speed that it has, towards or away; it may be more than the most, then it slows down to that first
 * @param least most speed backwards, below 0 or 0
 * @param most most speed forwards
 * @param acceleration finite, above 0
 * @param seconds that it goes on for; at rest it stays
 */
export function approach(
  distance: number,
  speed: number,
  least: number,
  most: number,
  acceleration: number,
  seconds: number,
): void {
  // Where it would stand if it slowed down from now on: short of the aim it goes on towards it, beyond it turns back.
  const stands = (speed * Math.abs(speed)) / (2 * acceleration);
  const way = distance >= stands ? 1 : -1;
  const [far, begins, top] = way > 0 ? [distance, speed, most] : [-distance, -speed, -least];
  const peak = Math.min(top, Math.sqrt(Math.max(0, acceleration * far + begins ** 2 / 2)));
  const changes = Math.abs(peak - begins) / acceleration;
  const [gains, loses] = [((peak + begins) / 2) * changes, peak / acceleration];
  const cruises = peak > 0 ? Math.max(0, (far - gains - (peak / 2) * loses) / peak) : Number.POSITIVE_INFINITY;
  let moved: number;
  let turns: number;
  if (seconds < changes) {
    turns = begins + Math.sign(peak - begins) * acceleration * seconds;
    moved = ((begins + turns) / 2) * seconds;
  } else if (seconds - changes < cruises) {
    turns = peak;
    moved = gains + (peak > 0 ? peak * (seconds - changes) : 0);
  } else if (seconds - changes - cruises < loses) {
    const left = loses - (seconds - changes - cruises);
    turns = acceleration * left;
    moved = far - (turns / 2) * left;
  } else {
    turns = 0;
    moved = far;
  }
  found.moved = way * moved;
  found.speed = way * turns;
}

/** Slows an axis down to rest where it comes to stand. */
export function stop(speed: number, acceleration: number, seconds: number): void {
  if (!Number.isFinite(acceleration)) {
    found.moved = 0;
    found.speed = 0;
    return;
  }
  const slows = Math.min(seconds, Math.abs(speed) / acceleration);
  const turns = Math.sign(speed) * Math.max(0, Math.abs(speed) - acceleration * slows);
  found.moved = ((speed + turns) / 2) * slows;
  found.speed = turns;
}
