import type { ForeignSource } from '../api/contract.ts';
import { carries, type OutputSettings, universesOf } from '../core/output-settings.ts';
import type { ForeignReport, OutputReport } from '../core/report.ts';
import type { Universe } from '../core/units.ts';
import { numbering } from '../outputs/artnet/numbering.ts';
import type { SacnSource } from './messages.ts';

/** What this node sends. */
export interface OwnSending {
  readonly universes: readonly Universe[];
  readonly outputs: readonly OutputSettings[];
}

/** Who has told no name. */
export const NAMELESS = 'No name';

const MEANS = {
  wins: 'It wins: lights on this universe follow it, not this node.',
  winsWithOthers: 'It wins together with others of its priority: lights follow them, not this node.',
  equal: 'Lights may mix both, or flicker.',
  loses: 'Ours wins; it takes over if this node stops.',
  losesToAll: 'Ours wins; another source takes over if this node stops.',
  overruled: 'Another source wins over it and over this node.',
  alone: 'This node sends no sACN here: lights that listen to sACN follow it.',
  artnet: 'Art-Net knows no priority: lights may mix both, or flicker.',
} as const;

/** Who else sends on our universes, with what that means for the lights. */
export function foreignSources(
  sacn: readonly SacnSource[],
  reports: readonly OutputReport[],
  own: OwnSending,
): readonly ForeignSource[] {
  const rows = [...sacn.map((source) => sacnRow(source, sacn, own)), ...artnetRows(reports, own)];
  return rows.sort(
    (a, b) =>
      a.universe - b.universe || (b.priority ?? 0) - (a.priority ?? 0) || (a.name + a.address < b.name + b.address ? -1 : 1),
  );
}

function sacnRow({ cid: _, levels: __, ...source }: SacnSource, all: readonly SacnSource[], own: OwnSending): ForeignSource {
  const there = all.filter(({ universe }) => universe === source.universe).map(({ priority }) => priority);
  return { protocol: 'sacn', ...source, meaning: meaning(source.priority, there, ownPriority(source.universe, own)) };
}

/** E1.31-2018 section 6.2.3: the highest priority wins; what lights do with equal ones is their own affair. `others` holds `its` too. */
function meaning(its: number, others: readonly number[], ours: number | undefined): string {
  if (ours === undefined) return MEANS.alone;
  const highest = Math.max(...others);
  if (highest > ours) {
    if (its < highest) return MEANS.overruled;
    return others.filter((priority) => priority === highest).length > 1 ? MEANS.winsWithOthers : MEANS.wins;
  }
  if (its === ours) return MEANS.equal;
  return others.some((priority) => priority > its) ? MEANS.losesToAll : MEANS.loses;
}

/** Our highest priority on a universe; undefined where we send no sACN. */
function ownPriority(universe: Universe, { outputs }: OwnSending): number | undefined {
  const priorities = outputs.flatMap((one) => (one.protocol === 'sacn' && carries(one, universe) ? [one.priority] : []));
  return priorities.length === 0 ? undefined : Math.max(...priorities);
}

const artnetRows = (reports: readonly OutputReport[], own: OwnSending): ForeignSource[] =>
  artnetStreams(reports, own).map(({ levels: _, ...stream }) => ({ protocol: 'artnet', ...stream, meaning: MEANS.artnet }));

/** ArtDmx of others, as our outputs hear it. */
export interface ArtnetStream extends ForeignReport {
  readonly universe: Universe;
  readonly name: string;
}

/** Universes that an Art-Net output of ours sends, so that it hears others there. */
export const artnetUniverses = ({ universes, outputs }: OwnSending): Universe[] => [
  ...new Set(
    outputs.flatMap((one) =>
      one.protocol === 'artnet' ? [...numbering(universesOf(one, universes), one.portAddresses).carried.keys()] : [],
    ),
  ),
];

export function artnetStreams(reports: readonly OutputReport[], own: OwnSending): ArtnetStream[] {
  return reports.flatMap(({ id, foreign = [], nodes = [] }) => {
    const settings = own.outputs.find((one) => one.id === id);
    if (settings?.protocol !== 'artnet') return [];
    const sent = universesOf(settings, own.universes);
    const universeOf = new Map([...numbering(sent, settings.portAddresses).carried].map(([universe, at]) => [at, universe]));
    return foreign.flatMap((stream): ArtnetStream[] => {
      const universe = universeOf.get(stream.portAddress);
      if (universe === undefined) return [];
      const node = nodes.find(({ address }) => address === stream.address);
      const name = node?.longName || node?.shortName || NAMELESS;
      return [{ universe, ...stream, name }];
    });
  });
}
