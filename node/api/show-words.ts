import { parseColour } from '../light/colour-value.ts';
import { chromaticityOf } from '../light/of-value.ts';
import type { Show } from '../show/document.ts';
import { surfaceName, type Use } from '../show/surfaces.ts';
import type { ShowSummary } from './contract.ts';

/** What people call the light of a use: as the show does, where one group of it is just that. */
export function nameOfUse(use: Use, { fixtures, groups }: Pick<Show, 'fixtures' | 'groups'>): string {
  const own = fixtures.filter((one) => one.use === use).map(({ id }) => id);
  const same = groups.find((group) => group.fixtures.length === own.length && own.every((id) => group.fixtures.includes(id)));
  return same?.name ?? surfaceName(use);
}

/** The client's colours by their chromaticity; black has none. */
export function themeOf({ theme }: Pick<Show, 'theme'>): ShowSummary['theme'] {
  return theme.colours.flatMap(({ name, value }) => {
    const colour = parseColour(value);
    // A colour of the theme is no name of another one.
    if (colour === undefined || colour.kind === 'theme') return [];
    const at = chromaticityOf(colour, () => colour);
    return at === undefined ? [] : [{ name, at }];
  });
}
