import { type AttributeName, attribute } from '../../../../node/core/attributes.ts';
import type { ItemKey, Part, Show } from '../../../../node/show/document.ts';

/** Whether a thing of the show puts haze or fog into the air, at any moment. */
export function putsHaze({ looks, chases, hits }: Show, item: ItemKey): boolean {
  const things: readonly (readonly [ItemKey, readonly Part[]])[] = [
    ...looks.map(({ id, parts }) => [`look:${id}`, parts] as const),
    ...chases.map(({ id, steps }) => [`chase:${id}`, steps.flatMap(({ parts }) => parts)] as const),
    ...hits.map(({ id, parts }) => [`hit:${id}`, parts] as const),
  ];
  return things.some(([key, parts]) => key === item && parts.some(isHazy));
}

const isHazy = ({ haze = 0, attributes = {} }: Part): boolean =>
  haze > 0 || Object.entries(attributes).some(([name, value]) => attribute(name as AttributeName).hazes === true && value > 0);
