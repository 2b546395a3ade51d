import type { ForeignSource } from '../../../node/api/contract.ts';

/** One who sends on universes of ours, all of them together where what is said of each is the same. */
export interface Talker extends Omit<ForeignSource, 'universe' | 'portAddress'> {
  readonly universes: readonly number[];
}

/** Who is heard, in the node's order. `perSecond` is that of its busiest universe. */
export function talkers(sources: readonly ForeignSource[]): Talker[] {
  const found = new Map<string, Talker>();
  for (const { universe, portAddress: _, ...source } of sources) {
    const key = JSON.stringify([source.protocol, source.name, source.address, source.priority, source.meaning]);
    const known = found.get(key);
    found.set(key, {
      ...source,
      universes: [...(known?.universes ?? []), universe].sort((a, b) => a - b),
      perSecond: Math.max(source.perSecond, known?.perSecond ?? 0),
      lastSeenAt: Math.max(source.lastSeenAt, known?.lastSeenAt ?? 0),
    });
  }
  return [...found.values()];
}
