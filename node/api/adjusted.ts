import type { EmitterName } from '../core/attributes.ts';
import type { Adjustments } from '../rig/adjustments.ts';

const degrees = (angle: number): string => `${angle < 0 ? '−' : ''}${Math.abs(angle)}°`;
const percent = (share: number): string => `${Math.round(share * 100)} %`;

/** What the patch changes of one lamp, in words: whoever sets it up must not set the same in its own menu again. */
export function adjustedInWords(
  { invert, swapPanTilt, limits, trim, dim }: Adjustments,
  labels: Readonly<Record<EmitterName, string>>,
): string[] {
  const axes = ['pan', 'tilt'] as const;
  const trimmed = Object.entries(trim ?? {}) as [EmitterName, number][];
  return [
    ...axes.filter((axis) => invert?.[axis] === true).map((axis) => `${axis} inverted`),
    ...(swapPanTilt === true ? ['pan and tilt swapped'] : []),
    ...axes.flatMap((axis) => {
      const range = limits?.[axis];
      return range === undefined ? [] : [`${axis} kept within ${degrees(range[0])} to ${degrees(range[1])}`];
    }),
    ...trimmed.map(([name, share]) => `${labels[name].toLowerCase()} trimmed to ${percent(share)}`),
    ...(dim === undefined ? [] : [`${percent(dim)} at most`]),
  ];
}
