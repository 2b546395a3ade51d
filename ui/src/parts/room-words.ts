import type { FixtureSummary } from '../../../node/api/contract.ts';
import { type Band, bands } from '../../../node/core/remote.ts';
import type { ColourNames } from '../../../node/light/colour-names.ts';

const places: Readonly<Record<Band, string>> = { ceiling: 'Ceiling', walls: 'Walls', floor: 'Floor', air: 'Air' };

/** What the picture shows, for those who listen: band by band how many lights are lit, and in what colour most of it is. */
export function roomInWords(
  fixtures: readonly Pick<FixtureSummary, 'band'>[],
  colours: readonly number[],
  names: ColourNames,
): string {
  const said = bands.flatMap((band) => {
    const own = fixtures.flatMap((fixture, i) => (fixture.band === band ? [colours[i] ?? 0] : []));
    if (own.length === 0) return [];
    const lit = own.filter((colour) => colour !== 0);
    if (lit.length === 0) return [`${places[band]} dark`];
    const named = [...new Set(lit.map((colour) => names.nameOf(colour)))];
    const count = lit.length === own.length ? '' : `${lit.length} of ${own.length} `;
    return [`${places[band]} ${count}${named.slice(0, 3).join(' and ')}`];
  });
  return said.length === 0 ? 'No lights in this show' : `${said.join('. ')}.`;
}
