/** What every guard has something to say about, invented: a head that rests among guests, a hazer, a laser, pars. One button starts it all. */
export const guardsShow = {
  format: 'duskhand-show',
  version: 4,
  id: 'guards',
  name: 'Town hall dance',
  demo: true,
  theme: { name: 'Plain', colours: [] },
  fixtures: [
    {
      ...{ id: 'head', name: 'Left head', type: 'beam-head', mode: '12ch', universe: 1, address: 1, use: 'beam' },
      pose: { x: 0, y: 0, z: 4, put: 'hung', facing: 0 },
    },
    { id: 'hazer', name: 'Hazer', type: 'hazer', mode: '2ch', universe: 1, address: 31, use: 'haze' },
    { id: 'rays', name: 'Green rays', type: 'rgbw-par', mode: '6ch', universe: 1, address: 41, use: 'laser' },
    { id: 'par', name: 'Par', type: 'rgbw-par', mode: '6ch', universe: 1, address: 61, use: 'uplight' },
  ],
  landmarks: [{ id: 'floor', name: 'Dance floor', x: 3, y: 0, z: 0 }],
  looks: [
    {
      ...{ id: 'all', name: 'All', fade: 0, unattended: true },
      parts: [
        { who: [{ all: true }], level: 0.8, haze: 0.4 },
        { who: [{ use: 'beam' }], aim: { landmark: 'floor' } },
      ],
    },
  ],
  buttons: [{ id: 'all', name: 'Everything', line: 'Beam on the floor, haze, rays', starts: [{ look: 'all' }] }],
  moments: [{ id: 'evening', name: 'The evening', buttons: ['all'] }],
} as const;
