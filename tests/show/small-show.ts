/** The least that is a show; every test spoils or extends a copy of its own. */
export function smallShow() {
  return {
    format: 'duskhand-show',
    version: 4,
    id: 'small',
    name: 'Small',
    theme: { name: 'Plain', colours: [{ id: 'cream', name: 'Cream', value: '#fff0d8' }] },
    fixtures: [
      { id: 'left', name: 'Left', type: 'rgbw-par', mode: '6ch', universe: 1, address: 1, use: 'uplight' },
      { id: 'right', name: 'Right', type: 'rgbw-par', mode: '6ch', universe: 1, address: 7, use: 'uplight' },
    ],
    groups: [{ id: 'both', name: 'Both', fixtures: ['left', 'right'] }],
    looks: [{ id: 'warm', name: 'Warm', parts: [{ who: [{ use: 'uplight' }], level: 0.5, colour: 'theme:cream' }] }],
    chases: [
      {
        id: 'turn',
        name: 'Turn',
        steps: [
          { length: { beats: 4 }, parts: [{ who: [{ group: 'both' }], colour: ['#ff0000', '#0000ff'] }] },
          { length: { beats: 4 }, parts: [{ who: [{ fixture: 'left' }], colour: '#00ff00' }] },
        ],
      },
    ],
    movements: [
      { id: 'nod', name: 'Nod', who: [{ all: true }], figure: 'circle', size: { pan: 10, tilt: 10 }, period: { seconds: 8 } },
    ],
    hits: [{ id: 'flash', name: 'Flash', parts: [{ who: [{ all: true }], level: 1 }] }],
    buttons: [
      { id: 'warm', name: 'Warm', starts: [{ look: 'warm' }], stops: [{ chase: 'turn' }] },
      { id: 'turn', name: 'Turn', starts: [{ chase: 'turn' }, { movement: 'nod' }] },
    ],
    moments: [{ id: 'all-night', name: 'All night', buttons: ['warm', 'turn'] }],
    start: [{ look: 'warm' }],
  };
}

/** A document that a test may write into what the types forbid. */
// biome-ignore lint/suspicious/noExplicitAny: spoiling is the point.
export type Spoilable = any;
