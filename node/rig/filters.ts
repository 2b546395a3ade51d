import type { AttributeName } from '../core/attributes.ts';
import { adapted, uvDistance } from '../light/adaptation.ts';
import { parseColour } from '../light/colour-value.ts';
import { difference } from '../light/difference.ts';
import { chromaticityOf } from '../light/of-value.ts';
import { planckian } from '../light/temperature.ts';
import { stretchesOf } from './channel-law.ts';
import type { FixtureType, Mode } from './fixture-type.ts';

export const colourWheels = ['Color1', 'Color2'] as const;
export type ColourWheel = (typeof colourWheels)[number];

type Xy = readonly [x: number, y: number];

/** White of filters, and what one without a colour gives (GDTF, DIN SPEC 15800:2022-02, table of wheel slots: default value of Color). */
const WHITE: Xy = [0.3127, 0.329];
/** So near to white, in u′v′, a filter is none: within what lamps of one maker differ by. Common practice, no source. */
const NEARLY = 0.01;

interface Filter {
  /** From 1. */
  readonly slot: number;
  readonly name: string;
  readonly at: Xy;
}

/** The filters of a wheel that a mode can turn to; none where no slot tells of its colour. */
function filtersOf({ wheels }: FixtureType, mode: Mode, name: ColourWheel): Filter[] {
  const slots = wheels[name] ?? [];
  if (slots.every(({ colour }) => colour === undefined)) return [];
  const reached = reachedBy(mode, name);
  return slots.flatMap(({ name: called, colour }, i) => {
    const value = colour === undefined ? undefined : parseColour(colour);
    // Black has no chromaticity: a filter that lets nothing through is no answer to a colour.
    const at = value === undefined ? WHITE : chromaticityOf(value, () => value);
    return at === undefined || !reached.has(i + 1) ? [] : [{ slot: i + 1, name: called, at }];
  });
}

const reachedBy = ({ channels }: Mode, name: AttributeName): ReadonlySet<number> =>
  new Set(
    channels.flatMap(({ functions }) =>
      functions.flatMap((one) => (one.attribute === name ? (stretchesOf(one) ?? []).map(({ slot }) => slot) : [])),
    ),
  );

/** A filter of a lamp, and how far its colour is from the one that was asked for (CIEDE2000). */
export interface Chosen {
  readonly wheel: ColourWheel;
  /** From 1. */
  readonly slot: number;
  readonly off: number;
}

/**
 * The filter that comes nearest to a chromaticity beside the white of filters, on whichever colour wheel: the others must then let the light
 * through as it is. Undefined where nothing is known.
 */
export function nearestFilter(type: FixtureType, mode: Mode, wanted: Xy): Chosen | undefined {
  const wheels = colourWheels.filter((_, i) =>
    colourWheels.every((other, k) => k >= i || reachedBy(mode, other).size === 0 || openSlot(type, mode, other) > 0),
  );
  const all = wheels.flatMap((wheel) => filtersOf(type, mode, wheel).map((one) => ({ ...one, wheel })));
  const best = nearest(all, (one) => uvDistance(one.at, wanted));
  return best && { wheel: best.wheel, slot: best.slot, off: difference(xyz(best.at), xyz(wanted)) };
}

const xyz = ([x, y]: Xy): [number, number, number] => [x, y, 1 - x - y];

/**
 * A chromaticity in itself as it is to be looked for among filters: filters are told beside white, and the lamp's own light passes
 * through them.
 */
export const besideWhite = (wanted: Xy, { beam }: FixtureType): Xy =>
  beam?.temperature === undefined ? wanted : adapted(wanted, planckian(beam.temperature), WHITE);

/** The slot in which a wheel lets the light through as it is; 0 where nobody can tell. */
export function openSlot(type: FixtureType, mode: Mode, name: ColourWheel | 'Gobo1' | 'Gobo2'): number {
  const reached = reachedBy(mode, name);
  const slots = (type.wheels[name] ?? []).map((one, i) => ({ ...one, slot: i + 1 })).filter(({ slot }) => reached.has(slot));
  const called = slots.find(({ name: words }) => /^(open|clear|no gobo|no colou?r|empty)\b/i.test(words));
  if (called !== undefined) return called.slot;
  if (name === 'Gobo1' || name === 'Gobo2') {
    const blank = slots.filter(({ image }) => image === undefined);
    return blank.length < slots.length ? (blank[0]?.slot ?? 0) : 0;
  }
  const white = nearest(filtersOf(type, mode, name), (one) => uvDistance(one.at, WHITE));
  return white !== undefined && uvDistance(white.at, WHITE) <= NEARLY ? white.slot : 0;
}

function nearest<One>(all: readonly One[], distance: (one: One) => number): One | undefined {
  let [best, least]: [One | undefined, number] = [undefined, Number.POSITIVE_INFINITY];
  for (const one of all) {
    const own = distance(one);
    if (own < least) [best, least] = [one, own];
  }
  return best;
}
