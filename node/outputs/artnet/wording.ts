import { listed } from '../../core/words.ts';
import type { Numbering } from './numbering.ts';
import type { Destination, Stream } from './stream.ts';
import type { Wire } from './wire.ts';

/** Longer lists are cut: they are read on a phone. */
export const MOST_NAMED = 6;

/** Where the packets go and what gets nowhere, in words for the report. */
export function describe(
  wire: Wire,
  streams: readonly Stream[],
  numbering: Numbering,
  fixed: readonly Destination[] | undefined,
): string {
  const names = [...new Set(wire.links.map(({ name, internal }) => (internal ? `${name} (this computer only)` : name)))];
  const on = [...names, ...wire.away(undefined).map((name) => `${name} (away)`)].join(', ');
  const parts = [fixed === undefined ? `${receivers(streams)} on ${on}` : fixed.map((one) => destination(wire, one)).join(', ')];
  const deserted = streams.filter((stream) => stream.receivers.length === 0);
  if (deserted.length > 0) parts.push(`no node takes ${universes(deserted)}`);
  return [...parts, ...[...numbering.left.values()].slice(0, MOST_NAMED)].join('; ');
}

/** `universe 3`, `universes 3, 4 and 5`. */
export function universes(streams: readonly Stream[]): string {
  const numbers = streams.map(({ universe }) => String(universe));
  return `${numbers.length === 1 ? 'universe' : 'universes'} ${list(numbers)}`;
}

function destination(wire: Wire, { address, port }: Destination): string {
  return `${address}:${port}${wire.hears(address) ? '' : wire.reaches(address) ? ' (does not answer)' : ' (away)'}`;
}

function receivers(streams: readonly Stream[]): string {
  const addresses = new Set(streams.flatMap((stream) => stream.receivers.map(({ address }) => address)));
  return addresses.size === 0 ? 'nobody' : list([...addresses]);
}

function list(items: readonly string[]): string {
  if (items.length > MOST_NAMED) return `${items.slice(0, MOST_NAMED - 1).join(', ')} and ${items.length - MOST_NAMED + 1} more`;
  return listed(items);
}
