const moments = [
  'Guests arrive',
  'Ceremony in the garden',
  'Drinks and photographs',
  'Entrance of everybody',
  'Dinner, three courses',
  'Speeches and toasts',
  'Cutting the cake',
  'First dance',
  'Father and daughter dance',
  'Open floor until late',
  'Last dance',
  'Good night and way out',
];

const colours = ['#8a4f86', '#5b6fb0', '#9caf88', '#e8b7a2', '2700 K'];

/** A show as large and as wordy as people make them: 12 moments, 60 buttons, 80 fixtures, long names. */
export const fullShow = {
  format: 'duskhand-show',
  version: 2,
  id: 'full',
  name: 'The Featherstonehaugh-Montgomery anniversary in the long gallery',
  theme: { name: 'Five', colours: colours.map((value, i) => ({ id: `c${i}`, name: `Colour number ${i + 1}`, value })) },
  fixtures: Array.from({ length: 80 }, (_, i) => ({
    id: `f${i}`,
    name: `${i % 2 === 0 ? 'Long gallery' : 'Orangery'} uplighter beside column ${i + 1}`,
    type: 'rgbw-par',
    mode: '6ch',
    universe: 1 + Math.floor(i / 40),
    address: 1 + (i % 40) * 10,
    use: ['uplight', 'ceiling wash', 'dance wash', 'texture'][i % 4],
  })),
  groups: Array.from({ length: 14 }, (_, i) => ({
    id: `g${i}`,
    name: `Columns ${i + 1} and the one opposite`,
    fixtures: [`f${i}`, `f${79 - i}`],
  })),
  looks: Array.from({ length: 56 }, (_, i) => ({
    id: `l${i}`,
    name: `Look ${i}`,
    fade: 1,
    unattended: true,
    parts: [{ who: [{ all: true }], level: 0.3 + (i % 7) / 10, colour: `theme:c${i % 5}` }],
  })),
  hits: Array.from({ length: 4 }, (_, i) => ({
    id: `h${i}`,
    name: `Hit ${i}`,
    parts: [{ who: [{ use: 'dance wash' }], level: 1 }],
  })),
  buttons: [
    ...Array.from({ length: 56 }, (_, i) => ({
      id: `b${i}`,
      name: i % 5 === 0 ? `Everything in the colours of the bridesmaids ${i}` : `Scene ${i}`,
      line: 'Columns and ceiling in one colour, the dance floor a little darker than the rest',
      starts: [{ look: `l${i}` }],
    })),
    ...Array.from({ length: 4 }, (_, i) => ({
      id: `k${i}`,
      name: ['Bump', 'Audience blinder', 'White', 'Snare roll'][i],
      starts: [{ hit: `h${i}` }],
    })),
  ],
  moments: moments.map((name, i) => ({
    id: `m${i}`,
    name,
    buttons: [...Array.from({ length: 5 }, (_, k) => `b${(i * 5 + k) % 56}`), 'k0', 'k1', 'k2'],
  })),
  start: [{ look: 'l0' }],
};
