import type { ChannelSummary, FixtureSummary } from '../../../node/api/contract.ts';

type Ranges = ChannelSummary['ranges'];

export const range = (from: number, to: number, low: number, high: number, unit: string): Ranges[number] => ({
  from,
  to,
  low,
  high,
  unit,
});

export const channel = (slot: number, attribute: string, label: string, ranges: Ranges): ChannelSummary => ({
  slot,
  attribute,
  label,
  ranges,
});

/** An invented lamp of which only the patch matters. */
export function lamp(id: string, name: string, use: string, universe: number, address: number, slots: number): FixtureSummary {
  const full = [range(0, 255, 0, 1, 'level')];
  const channels = Array.from({ length: slots }, (_, i) => channel(address + i, 'Dimmer', 'Brightness', full));
  return { id, name, use, band: 'walls', typeName: 'Demo lamp', modeName: 'demo', universe, address, channels };
}
