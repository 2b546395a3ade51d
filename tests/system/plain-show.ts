import { levelOf } from '../helpers/lightness.ts';

const lamp = (n: number) => ({
  id: `lamp-${n}`,
  name: `Lamp ${n}`,
  type: 'dimmer',
  mode: '1ch',
  universe: 1,
  address: n,
  use: 'uplight',
});
const level = (n: number, share: number) => ({ who: [{ fixture: `lamp-${n}` }], level: levelOf(share) });

/**
 * A show whose bytes can be told from its document: the light of lamps goes in fifths, and a fifth of 255 is 51. Lamps 1 to 4 have the slots of their
 * numbers in universe 1. A yoke in universe 2 has pan (high and low byte) and a dimmer in slots 1 to 3: pan runs from -270 to 270
 * degrees, so -162 is a fifth of the way, 13107 of 65535, which is twice 0x33 or 51.
 */
export const plainShow = {
  format: 'duskhand-show',
  version: 4,
  id: 'plain',
  name: 'Plain',
  theme: { name: 'None', colours: [] },
  fixtureTypes: [
    {
      id: 'yoke',
      name: 'Yoke',
      modes: [
        {
          id: '3ch',
          name: '3 channels',
          channels: [
            { slot: 1, fine: 2, functions: [{ attribute: 'Pan', physical: [-270, 270] }] },
            { slot: 3, functions: [{ attribute: 'Dimmer' }] },
          ],
        },
      ],
    },
  ],
  fixtures: [
    ...[1, 2, 3, 4].map(lamp),
    { id: 'yoke', name: 'Yoke', type: 'yoke', mode: '3ch', universe: 2, address: 1, use: 'spot' },
  ],
  looks: [
    {
      id: 'base',
      name: 'Base',
      fade: 0,
      stay: true,
      unattended: true,
      parts: [...[1, 2, 3, 4].map((n) => level(n, 0.2)), { who: [{ fixture: 'yoke' }], level: 1, aim: { pan: -162, tilt: 0 } }],
    },
    { id: 'warm', name: 'Warm', fade: 0, unattended: true, parts: [level(1, 0.6), level(2, 0.6)] },
    { id: 'full', name: 'Full', fade: 0, unattended: true, parts: [level(1, 1)] },
    { id: 'slow', name: 'Slow', fade: 8, unattended: true, parts: [level(3, 1)] },
  ],
  chases: [
    {
      id: 'round',
      name: 'Round',
      fade: 0,
      unattended: true,
      steps: [0.2, 0.4, 0.6, 0.8].map((share) => ({ length: { seconds: 1 }, parts: [level(4, share)] })),
    },
  ],
  buttons: [
    { id: 'warm', name: 'Warm walls', starts: [{ look: 'warm' }] },
    { id: 'full', name: 'Full', starts: [{ look: 'full' }] },
    { id: 'slow', name: 'Slow', starts: [{ look: 'slow' }] },
    { id: 'round', name: 'Round', starts: [{ chase: 'round' }] },
  ],
  start: [{ look: 'base' }],
};

/** The first slots of universe 1 while nothing but the base plays, and those of universe 2. */
export const BASE = [51, 51, 51, 51];
export const YOKE = [51, 51, 255];
/** What the round shows on lamp 4, a second each. */
export const ROUND = [51, 102, 153, 204];

/** The yoke sways without a rest: 16 bits of pan differ from frame to frame. */
export const swayingShow = {
  ...plainShow,
  chases: [
    ...plainShow.chases,
    {
      id: 'sway',
      name: 'Sway',
      fade: 0,
      unattended: true,
      steps: [-162, 162].map((pan) => ({
        length: { seconds: 1 },
        fade: 1,
        parts: [{ who: [{ fixture: 'yoke' }], aim: { pan, tilt: 0 } }],
      })),
    },
  ],
  start: [{ look: 'base' }, { chase: 'sway' }],
};
