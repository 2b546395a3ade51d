import type { Part, Show } from '../../../node/show/document.ts';
import { readDraft } from '../../../node/show/read.ts';

const fixture = (id: string, name: string, type: string, mode: string, use: string, address: number) => ({
  id,
  name,
  type,
  mode,
  use,
  universe: 1,
  address,
});

/** A hall with a few lights of several kinds, for what the bench works out by itself. */
export const hall = (more: object = {}): Show =>
  readDraft({
    format: 'duskhand-show',
    version: 4,
    id: 'hall',
    name: 'Hall',
    theme: {
      name: 'Rose',
      colours: [
        { id: 'rose', name: 'Rose', value: '#ff0040' },
        { id: 'sage', name: 'Sage', value: '#80ff80' },
      ],
    },
    fixtures: [
      fixture('par-1', 'Par 1', 'rgb-par', '3ch', 'uplight', 1),
      fixture('par-2', 'Par 2', 'rgb-par', '3ch', 'uplight', 11),
      fixture('par-3', 'Par 3', 'rgb-par', '3ch', 'uplight', 21),
      fixture('par-4', 'Par 4', 'rgb-par', '3ch', 'uplight', 31),
      fixture('spot-1', 'Spot left', 'spot-head', '12ch', 'spot', 41),
      fixture('spot-2', 'Spot right', 'spot-head', '12ch', 'spot', 61),
      fixture('beam-1', 'Beam', 'beam-head', '12ch', 'beam', 81),
      fixture('hazer', 'Hazer', 'hazer', '2ch', 'haze', 101),
    ],
    groups: [
      { id: 'left', name: 'Left side', fixtures: ['par-1', 'par-2'] },
      { id: 'right', name: 'Right side', fixtures: ['par-3', 'par-4'] },
      { id: 'odd', name: 'Odd ones', fixtures: ['par-1', 'par-3'] },
    ],
    looks: [
      { id: 'dinner', name: 'Dinner', parts: [{ who: [{ use: 'uplight' }], level: 0.3, colour: ['theme:rose', 'theme:sage'] }] },
      { id: 'aimed', name: 'Aimed', parts: [{ who: [{ use: 'spot' }], level: 1, aim: { pan: 0, tilt: 30 } }] },
    ],
    chases: [
      {
        id: 'run',
        name: 'Run',
        steps: [
          { length: { beats: 1 }, parts: [{ who: [{ group: 'left' }], level: 1 }] },
          { length: { beats: 1 }, parts: [{ who: [{ group: 'right' }], level: 1 }] },
        ],
      },
    ],
    movements: [
      { id: 'round', name: 'Round', who: [{ use: 'spot' }], figure: 'circle', size: { pan: 10, tilt: 10 }, period: { beats: 8 } },
    ],
    hits: [{ id: 'flash', name: 'Flash', parts: [{ who: [{ all: true }], level: 1 }] }],
    buttons: [{ id: 'dinner', name: 'Dinner', starts: [{ look: 'dinner' }] }],
    ...more,
  }).show;

export const part = (more: Partial<Part>): Part => ({ who: [{ use: 'uplight' }], brightness: 'best', ...more });
