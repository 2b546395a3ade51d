import type { Notes } from './notes.ts';
import { dmxValue, float, type Width } from './values.ts';
import { attr, childrenOf, type Element } from './xml.ts';

/** A ChannelSet (GDTF, table 61), its ends worked out, at the channel's own resolution. */
export interface RawSet {
  readonly name: string | undefined;
  readonly from: number;
  readonly to: number;
  /** As the file has it; which slot that is depends on what it counts from. */
  readonly index: number | undefined;
  /** Only where the set itself gives them. */
  readonly physical: readonly [from: number | undefined, to: number | undefined];
}

/** The sets of a function that lies between these values: each ends before the next one begins, or with its function. */
export function setsIn(element: Element, from: number, to: number, width: Width, notes: Notes): RawSet[] {
  const all = childrenOf(element, 'ChannelSet')
    .map((one) => ({ one, begins: dmxValue(attr(one, 'DMXFrom'), width, notes) }))
    .sort((a, b) => a.begins - b.begins);
  return all.flatMap(({ one, begins }, i): RawSet[] => {
    const [first, last] = [Math.max(from, begins), Math.min(to, (all[i + 1]?.begins ?? to + 1) - 1)];
    if (first > last) return [];
    return [
      {
        name: attr(one, 'Name'),
        from: first,
        to: last,
        index: float(attr(one, 'WheelSlotIndex')),
        physical: [float(attr(one, 'PhysicalFrom')), float(attr(one, 'PhysicalTo'))],
      },
    ];
  });
}
