/** A small hall, invented: two spot heads of which one has a place, a par, a cake, a dance floor, and a look and a movement of the heads. */
export const placedShow = {
  format: 'duskhand-show',
  version: 4,
  id: 'placed',
  name: 'Small hall',
  demo: true,
  theme: { name: 'Plain', colours: [] },
  fixtures: [
    {
      ...{ id: 'left', name: 'Left head', type: 'spot-head', mode: '12ch', universe: 1, address: 1, use: 'spot' },
      pose: { x: 2, y: 6, z: 3.5, put: 'hung', facing: -90 },
    },
    { id: 'right', name: 'Right head', type: 'spot-head', mode: '12ch', universe: 1, address: 31, use: 'spot' },
    { id: 'par', name: 'Par', type: 'rgb-par', mode: '3ch', universe: 1, address: 61, use: 'uplight' },
  ],
  landmarks: [
    { id: 'cake', name: 'Cake', x: 7, y: 5, z: 1 },
    { id: 'floor', name: 'Dance floor', x: 4, y: 3, z: 0, area: { width: 4, depth: 3, turned: 20 } },
    { id: 'door', name: 'Door', x: 9, y: 0, z: 2 },
  ],
  looks: [{ id: 'spots', name: 'Spots', fade: 0, parts: [{ who: [{ use: 'spot' }], level: 1, aim: { pan: 0, tilt: 30 } }] }],
  movements: [
    { id: 'sway', name: 'Sway', who: [{ use: 'spot' }], figure: 'circle', size: { pan: 20, tilt: 12 }, period: { seconds: 8 } },
  ],
  buttons: [{ id: 'spots', name: 'Spots', starts: [{ look: 'spots' }] }],
} as const;
