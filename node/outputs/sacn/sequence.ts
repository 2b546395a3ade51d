import type { Byte } from '../../core/units.ts';

/**
 * E1.31-2018 section 6.7.2: whether a packet may follow the last one accepted from the same source, for the same universe and of
 * the same type. One that is up to 19 behind, or the same again, comes late and is discarded; further behind it is a fresh start.
 */
export function acceptsSequence(last: Byte, next: Byte): boolean {
  const ahead = ((next - last) << 24) >> 24;
  return ahead > 0 || ahead <= -20;
}
