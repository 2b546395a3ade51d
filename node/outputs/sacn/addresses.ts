import type { Universe } from '../../core/units.ts';

/**
 * E1.31-2018 section 9.3: the group of a universe, of a synchronization address or of universe discovery.
 * IPv4: 239.255 and the number; IPv6: FF18::8300 and the number.
 */
export function groupOf(family: 'IPv4' | 'IPv6', universe: Universe): string {
  return family === 'IPv4' ? `239.255.${universe >> 8}.${universe & 0xff}` : `ff18::8300:${universe.toString(16)}`;
}
