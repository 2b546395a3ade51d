import { type ChannelFunction, MOST_TABLES } from '../fixture-type.ts';
import type { Notes } from './notes.ts';
import { float } from './values.ts';
import { attr, childrenOf, type Element, find } from './xml.ts';

export type Curve = ChannelFunction['curve'];

/** Shares in a table made of a DMX profile, its ends among them: one for each value of a byte, and one more. */
const POINTS = 257;
const MOST_POINTS = 1000;

interface Point {
  readonly at: number;
  readonly c: readonly number[];
}

/** Tables of a file, each once, and the place among them, or the law, that a profile comes to by its name. */
export interface Curves {
  readonly curves: number[][];
  readonly curveOf: (profile: string | undefined) => Curve;
}

/**
 * Output by DMX percentage (table 24) as tables of shares, made when a profile is asked for; linear where there is no profile, or one that
 * does not rise.
 */
export function curvesIn(fixtureType: Element, notes: Notes): Curves {
  const profiles = new Map(
    childrenOf(find(fixtureType, 'PhysicalDescriptions', 'DMXProfiles'), 'DMXProfile').map((one) => [attr(one, 'Name') ?? '', one]),
  );
  const known = new Map<string, Curve>();
  const curves: number[][] = [];
  const made = (profile: string): Curve => {
    const table = tableOf(profiles.get(profile), profile, notes);
    if (table === undefined) return 'linear';
    if (curves.length < MOST_TABLES) return curves.push(table) - 1;
    notes.add(`The file has more than ${MOST_TABLES} DMX profiles that are no straight line; "${profile}" is taken as one`);
    return 'linear';
  };
  return {
    curves,
    curveOf: (profile) => {
      if (profile === undefined) return 'linear';
      const curve = known.get(profile) ?? made(profile);
      known.set(profile, curve);
      return curve;
    },
  };
}

/** Undefined for a straight line. */
function tableOf(profile: Element | undefined, name: string, notes: Notes): number[] | undefined {
  const points = childrenOf(profile, 'Point')
    .slice(0, MOST_POINTS)
    .map((one) => ({ at: float(attr(one, 'DMXPercentage')) ?? 0, c: [0, 1, 2, 3].map((i) => float(attr(one, `CFC${i}`)) ?? 0) }))
    .sort((a, b) => a.at - b.at);
  const table = Array.from({ length: POINTS }, (_, i) => outputAt((i * 100) / (POINTS - 1), points));
  // Some write outputs as percentages, some as shares.
  const full = Math.max(...table) > 1.5 ? 100 : 1;
  const shares = table.map((one) => rounded(Math.min(1, Math.max(0, one / full))));
  const rises = shares.every((one, i) => i === 0 || one >= (shares[i - 1] as number) - 1e-9);
  const isWithin = table.every((one) => one / full >= -0.001 && one / full <= 1.001);
  if (!rises || !isWithin || (shares.at(-1) as number) - (shares[0] as number) < 0.01) {
    notes.add(`DMX profile "${name}" is not a rising curve from 0 to full; linear is taken`);
    return undefined;
  }
  return shares.every((one, i) => Math.abs(one - i / (POINTS - 1)) < 1e-6) ? undefined : shares;
}

function outputAt(percent: number, points: readonly Point[]): number {
  const point = points.findLast(({ at }) => at <= percent);
  if (point === undefined) return 0;
  const d = percent - point.at;
  return point.c.reduceRight((sum, one) => sum * d + one, 0);
}

/** Finer than a step of sixteen bits, and short to write down. */
const rounded = (share: number): number => Math.round(share * 1e6) / 1e6;
