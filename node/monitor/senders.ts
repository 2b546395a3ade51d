import { HeardLevels, type HeardUniverse, type Sender } from '../core/heard.ts';
import type { ForeignReport } from '../core/report.ts';
import type { Universe } from '../core/units.ts';
import { numbering } from '../outputs/artnet/numbering.ts';
import type { SacnSource } from './messages.ts';
import { type ArtnetStream, NAMELESS } from './rows.ts';

/** Each of those who send sACN, with what it sends on all universes: it is one by its CID (E1.31-2018 section 5.6). */
export const sacnSenders = (sources: readonly SacnSource[]): Sender[] =>
  together(
    sources.map(({ cid, name, address, universe, priority, perSecond, lastSeenAt, levels }) => ({
      ...{ id: `sacn-${cid}`, protocol: 'sacn', name, address },
      universes: [{ universe, priority, perSecond, lastSeenAt, slots: new HeardLevels(levels).read() }],
    })),
  );

/** Each of those who send ArtDmx, by its address. */
export const artnetSenders = (streams: readonly ArtnetStream[]): Sender[] =>
  together(
    streams.flatMap(({ name, address, universe, perSecond, lastSeenAt, levels }): Sender[] =>
      levels === undefined
        ? []
        : [
            {
              ...{ id: `artnet-${address}`, protocol: 'artnet', name, address },
              universes: [{ universe, perSecond, lastSeenAt, slots: new HeardLevels(levels).read() }],
            },
          ],
    ),
  );

/** Streams that no output of ours hears: universes keep their numbers, and nobody has told a name. */
export function unsentStreams(streams: readonly ForeignReport[], universes: readonly Universe[]): ArtnetStream[] {
  const ports = new Map([...numbering(universes, {}).carried].map(([universe, port]) => [port, universe]));
  return streams.flatMap((stream) => {
    const universe = ports.get(stream.portAddress);
    return universe === undefined ? [] : [{ ...stream, universe, name: NAMELESS }];
  });
}

function together(all: readonly Sender[]): Sender[] {
  const known = new Map<string, Sender>();
  for (const one of all) {
    const before = known.get(one.id);
    const universes: HeardUniverse[] = [...(before?.universes ?? []), ...one.universes];
    known.set(one.id, { ...one, universes: universes.sort((a, b) => a.universe - b.universe) });
  }
  return [...known.values()];
}
