import { expect, it } from 'vitest';
import { adjustedInWords } from '../../node/api/summary.ts';
import { type EmitterName, emitterNames } from '../../node/core/attributes.ts';

const labels = { ...Object.fromEntries(emitterNames.map((name) => [name, name])), ColorAdd_RY: 'Amber' } as Record<
  EmitterName,
  string
>;

it('says in words all that the patch changes of a lamp, and nothing of one that it leaves as it is', () => {
  expect(adjustedInWords({}, labels)).toEqual([]);
  expect(adjustedInWords({ invert: { pan: false, tilt: false }, swapPanTilt: false }, labels)).toEqual([]);
  expect(
    adjustedInWords(
      {
        invert: { pan: true, tilt: true },
        swapPanTilt: true,
        limits: { pan: [-90, 180], tilt: [0, 45.5] },
        trim: { ColorAdd_RY: 0.855 },
        dim: 0.5,
      },
      labels,
    ),
  ).toEqual([
    'pan inverted',
    'tilt inverted',
    'pan and tilt swapped',
    'pan kept within −90° to 180°',
    'tilt kept within 0° to 45.5°',
    'amber trimmed to 86 %',
    '50 % of its light at most',
  ]);
});
