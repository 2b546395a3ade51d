import type { FixtureSummary } from '../../../node/api/contract.ts';
import { type Band, bands } from '../../../node/core/remote.ts';

const places: Readonly<Record<Band, string>> = { ceiling: 'Ceiling', walls: 'Walls', floor: 'Floor', air: 'Air' };

/** What the picture shows, for those who listen: band by band how many lights are lit, and in what colour most of it is. */
export function roomInWords(fixtures: readonly Pick<FixtureSummary, 'band'>[], colours: readonly number[]): string {
  const said = bands.flatMap((band) => {
    const own = fixtures.flatMap((fixture, i) => (fixture.band === band ? [colours[i] ?? 0] : []));
    if (own.length === 0) return [];
    const lit = own.filter((colour) => colour !== 0);
    if (lit.length === 0) return [`${places[band]} dark`];
    const names = [...new Set(lit.map(colourInWords))];
    const count = lit.length === own.length ? '' : `${lit.length} of ${own.length} `;
    return [`${places[band]} ${count}${names.slice(0, 3).join(' and ')}`];
  });
  return said.length === 0 ? 'No lights in this show' : `${said.join('. ')}.`;
}

/** Upper ends of hues in degrees. */
const hues: readonly (readonly [number, string])[] = [
  [14, 'red'],
  [45, 'amber'],
  [68, 'yellow'],
  [160, 'green'],
  [200, 'cyan'],
  [255, 'blue'],
  [290, 'violet'],
  [345, 'pink'],
  [360, 'red'],
];

/** A packed sRGB colour by the plainest name that is still true. */
export function colourInWords(packed: number): string {
  const [red, green, blue] = [packed >> 16, (packed >> 8) & 255, packed & 255] as const;
  const most = Math.max(red, green, blue);
  const least = Math.min(red, green, blue);
  const dim = most < 70 ? 'dim ' : '';
  const saturation = most === 0 ? 0 : (most - least) / most;
  const spread = most - least || 1;
  const sixth = most === red ? (green - blue) / spread : most === green ? 2 + (blue - red) / spread : 4 + (red - green) / spread;
  const hue = (sixth * 60 + 360) % 360;
  const warm = hue < 68 || hue > 345;
  if (saturation < 0.12) return `${dim}white`;
  if (saturation < 0.5 && warm) return `${dim}warm white`;
  if (saturation < 0.2) return `${dim}cool white`;
  const name = hues.find(([end]) => hue < end)?.[1] ?? 'red';
  return `${dim}${saturation < 0.5 ? 'pale ' : ''}${name}`;
}
