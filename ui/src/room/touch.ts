import type { ShowSummary } from '../../../node/api/contract.ts';
import type { PlacedLamp } from './lamps.ts';
import { surfaceAt } from './shape.ts';

/** How near a head must be to be meant, in the measures of the room's picture: about a thumb. */
const THUMB = 16;

/** The use whose light is touched at a place of the picture; undefined where none falls. Heads come before the wall behind them. */
export function touchedUse(
  uses: ShowSummary['uses'],
  lamps: readonly PlacedLamp[],
  x: number,
  y: number,
): ShowSummary['uses'][number] | undefined {
  const near = (one: PlacedLamp): number => Math.hypot(one.x - x, one.y - y);
  const inAir = lamps.filter((one) => uses.some(({ use, band }) => use === one.use && band === 'air' && use !== 'haze'));
  const [head] = [...inAir].sort((a, b) => near(a) - near(b));
  if (head !== undefined && near(head) < THUMB) return uses.find(({ use }) => use === head.use);
  const surface = surfaceAt(x, y);
  const there = uses.filter(({ band }) => band === surface);
  const [nearest] = lamps.filter(({ use }) => there.some((one) => one.use === use)).sort((a, b) => near(a) - near(b));
  return there.find(({ use }) => use === nearest?.use);
}
