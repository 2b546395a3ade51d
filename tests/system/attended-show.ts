import { levelOf } from '../helpers/lightness.ts';
import { plainShow } from './plain-show.ts';

const lamp = (n: number, share: number) => ({ who: [{ fixture: `lamp-${n}` }], level: levelOf(share) });

/**
 * The plain show with things that need a person: a look on lamp 1, a hit on lamp 2, a strobe and haze besides, and the shortest watch that
 * a show may have: five seconds of silence, five of warning. Lamp 3 runs alone.
 */
export const attendedShow = {
  ...plainShow,
  id: 'attended',
  fixtures: [
    ...plainShow.fixtures,
    { id: 'par', name: 'Par', type: 'rgb-par', mode: '5ch', universe: 1, address: 11, use: 'dance wash' },
    { id: 'hazer', name: 'Hazer', type: 'hazer', mode: '2ch', universe: 1, address: 21, use: 'haze' },
  ],
  looks: [
    ...plainShow.looks,
    { id: 'dance', name: 'Dance', fade: 0, parts: [lamp(1, 1)] },
    {
      id: 'wild',
      name: 'Wild',
      fade: 0,
      unattended: true,
      parts: [
        { who: [{ fixture: 'par' }], level: 1, strobe: 2 },
        { who: [{ fixture: 'hazer' }], haze: 1, fan: 1 },
      ],
    },
  ],
  hits: [{ id: 'bump', name: 'Bump', longest: 30, parts: [lamp(2, 1)] }],
  buttons: [
    ...plainShow.buttons,
    { id: 'dance', name: 'Dance', starts: [{ look: 'dance' }] },
    { id: 'wild', name: 'Wild', starts: [{ look: 'wild' }] },
    { id: 'bump', name: 'Bump', starts: [{ hit: 'bump' }] },
  ],
  remoteWatch: { allow: 5, countdown: 5 },
};
