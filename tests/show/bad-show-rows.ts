import type { Spoilable } from './small-show.ts';

/** What is wrong, how to make it so, where the reader must point, and what it must say there. */
export type Row = readonly [what: string, spoil: (show: Spoilable) => void, path: string, ...says: string[]];

const ownType = (channels: unknown, modes = 1) => ({
  id: 'own',
  name: 'Own',
  modes: Array.from({ length: modes }, () => ({ id: 'm', name: 'M', channels })),
});

/** Mistakes that the published JSON Schema can express. */
export const schemaRows: readonly Row[] = [
  // Kinds and ranges.
  ['text for a number', (s) => (s.tempo = 'fast'), 'tempo', 'must be a number', '(found "fast")'],
  ['a number for text', (s) => (s.name = 7), 'name', 'must be text', '(found 7)'],
  ['an object for a list', (s) => (s.looks = {}), 'looks', 'must be a list', '(found an object with nothing in it)'],
  ['a list for an object', (s) => (s.theme = [1, 2]), 'theme', 'must be an object', '(found a list of 2)'],
  ['text for yes or no', (s) => (s.demo = 'yes'), 'demo', 'must be true or false', '(found "yes")'],
  ['null', (s) => (s.notes = null), 'notes', 'must be text', '(found null)'],
  [
    'a broken number where whole ones count',
    (s) => (s.fixtures[0].address = 1.5),
    'fixtures[0].address',
    'whole number',
    '(found 1.5)',
  ],
  ['a level above full', (s) => (s.looks[0].parts[0].level = 1.2), 'looks[0].parts[0].level', 'at most 1', '(found 1.2)'],
  ['a negative fade', (s) => (s.looks[0].fade = -1), 'looks[0].fade', 'at least 0', '(found -1)'],
  ['slot 0', (s) => (s.fixtures[1].address = 0), 'fixtures[1].address', 'at least 1', '(found 0)'],
  ['slot 513', (s) => (s.fixtures[1].address = 513), 'fixtures[1].address', 'at most 512', '(found 513)'],
  // ANSI E1.31-2018 section 9.1.1: 1..63999.
  ['universe 64000', (s) => (s.fixtures[0].universe = 64000), 'fixtures[0].universe', 'at most 63999', '(found 64000)'],
  ['a strobe past 25 Hz', (s) => (s.hits[0].parts[0].strobe = 26), 'hits[0].parts[0].strobe', 'at most 25', '(found 26)'],
  ['an id with capitals', (s) => (s.looks[0].id = 'Warm Look'), 'looks[0].id', 'lower-case', '(found "Warm Look")'],
  ['no name', (s) => delete s.name, 'name', 'must be text', '(found nothing)'],
  ['a name that would clear a terminal', (s) => (s.buttons[0].name = '\u001b[2J'), 'buttons[0].name', 'no control characters'],
  ['a name of two lines', (s) => (s.name = 'a\nb'), 'name', 'no control characters'],
  ['a name that reads backwards', (s) => (s.fixtures[0].name = 'a\u202eb'), 'fixtures[0].name', 'direction of reading'],
  ['a line with an old control', (s) => (s.buttons[0].line = 'a\u009bb'), 'buttons[0].line', 'no control characters'],
  ['notes with an end in them', (s) => (s.notes = 'a\u0000b'), 'notes', 'no control characters but ends of lines'],
  ['notes with half a character', (s) => (s.notes = 'a\ud800b'), 'notes', 'no halves of a character'],
  [
    'a type whose name would clear a terminal',
    (s) => (s.fixtureTypes = [{ ...ownType([{ slot: 1, functions: [{ attribute: 'Dimmer' }] }]), name: '\u001b[2J' }]),
    'fixtureTypes[0].name',
    'no control characters',
  ],
  [
    'a mode whose name reads backwards',
    (s) => {
      const type = ownType([{ slot: 1, functions: [{ attribute: 'Dimmer' }] }]);
      s.fixtureTypes = [{ ...type, modes: [{ ...type.modes[0], name: 'a\u202eb' }] }];
    },
    'fixtureTypes[0].modes[0].name',
    'direction of reading',
  ],
  ['a moment at no time of day', (s) => (s.moments[0].at = '24:00'), 'moments[0].at', 'a time of day such as "21:30"'],
  ['an order that leaves no room before it', (s) => (s.looks[0].order = 'a0'), 'looks[0].order', 'the last of them no 0'],
  // Words outside their list.
  ['an unknown use', (s) => (s.fixtures[0].use = 'lamp'), 'fixtures[0].use', 'one of "uplight", "dance wash"', '(found "lamp")'],
  ['an unknown figure', (s) => (s.movements[0].figure = 'square'), 'movements[0].figure', '"circle", "eight"', '(found "square")'],
  ['another format', (s) => (s.format = 'other'), '', '"format": "duskhand-show"'],
  ['version 0', (s) => (s.version = 0), 'version', 'must be 4', '(found 0)'],
  // Fields that nobody knows, with those that are.
  ['an unknown field of the show', (s) => (s.colour = 1), 'colour', 'is not known here; known are $schema, format, version'],
  [
    'a misspelt field of a part',
    (s) => (s.looks[0].parts[0].color = '#ffffff'),
    'looks[0].parts[0].color',
    'known are who, level, colour',
  ],
  [
    'an unknown attribute',
    (s) => (s.looks[0].parts[0].attributes = { Glow: 1 }),
    'looks[0].parts[0].attributes.Glow',
    'known are Dimmer,',
  ],
  ['a master with a bad name', (s) => (s.masters = { groups: { 'A b': 1 } }), 'masters.groups.A b', 'lower-case'],
  [
    'a number for a colour',
    (s) => (s.looks[0].parts[0].colour = 5),
    'looks[0].parts[0].colour',
    'must be text or a list',
    '(found 5)',
  ],
  ['no colour in a list', (s) => (s.looks[0].parts[0].colour = []), 'looks[0].parts[0].colour', 'at least 1 entry'],
  // One of several shapes: the message speaks of the one that was meant.
  [
    'a who with a bad use',
    (s) => (s.looks[0].parts[0].who = [{ use: 'uplights' }]),
    'looks[0].parts[0].who[0].use',
    'one of "uplight"',
    '(found "uplights")',
  ],
  [
    'a who with a bad group',
    (s) => (s.looks[0].parts[0].who = [{ group: 4 }]),
    'looks[0].parts[0].who[0].group',
    'must be text',
    '(found 4)',
  ],
  [
    'a who misspelt',
    (s) => (s.looks[0].parts[0].who = [{ us: 'uplight' }]),
    'looks[0].parts[0].who[0]',
    'must have one of use, group, fixture, all',
    '(found an object with us)',
  ],
  [
    'an empty who',
    (s) => (s.looks[0].parts[0].who = [{}]),
    'looks[0].parts[0].who[0]',
    'must have one of use, group, fixture, all',
    'nothing in it',
  ],
  [
    'a who of two kinds',
    (s) => (s.looks[0].parts[0].who = [{ use: 'uplight', group: 'both' }]),
    'looks[0].parts[0].who[0]',
    'must have only one of use, group',
    '(found an object with use, group)',
  ],
  [
    'a who with something besides',
    (s) => (s.looks[0].parts[0].who = [{ use: 'uplight', odd: true }]),
    'looks[0].parts[0].who[0].odd',
    'is not known here; known are use',
  ],
  [
    'a who that is text',
    (s) => (s.looks[0].parts[0].who = ['uplight']),
    'looks[0].parts[0].who[0]',
    'must be an object',
    '(found "uplight")',
  ],
  [
    'all: false',
    (s) => (s.looks[0].parts[0].who = [{ all: false }]),
    'looks[0].parts[0].who[0].all',
    'must be true',
    '(found false)',
  ],
  [
    'an item of an unknown kind',
    (s) => (s.buttons[0].starts = [{ scene: 'warm' }]),
    'buttons[0].starts[0]',
    'must have one of look, chase, movement, hit',
  ],
  ['an item with a bad id', (s) => (s.start = [{ chase: 'Turn it' }]), 'start[0].chase', 'lower-case', '(found "Turn it")'],
  [
    'a step without a length of time',
    (s) => (s.chases[0].steps[0].length = { bars: 1 }),
    'chases[0].steps[0].length',
    'must have one of seconds, beats',
  ],
  [
    'a step of no beats',
    (s) => (s.chases[0].steps[0].length = { beats: 0 }),
    'chases[0].steps[0].length.beats',
    'at least 0.0625',
    '(found 0)',
  ],
  ['an unknown fallback', (s) => (s.fallback = 'dark'), 'fallback', 'must be "blackout" or an object', '(found "dark")'],
];

/** Mistakes that take the reader: patterns behind a refinement, names that lead nowhere, the patch. */
export const readerRows: readonly Row[] = [
  // Text of a certain form.
  ['a name of blanks', (s) => (s.name = '   '), 'name', 'at least 1 character', '(found "   ")'],
  ['a colour by name', (s) => (s.looks[0].parts[0].colour = 'red'), 'looks[0].parts[0].colour', '#f7e7ce, 2700 K', '(found "red")'],
  [
    'a bad colour in a list',
    (s) => (s.looks[0].parts[0].colour = ['#ffffff', '#fff']),
    'looks[0].parts[0].colour[1]',
    '#f7e7ce',
    '(found "#fff")',
  ],
  [
    'a theme colour by another',
    (s) => (s.theme.colours[0].value = 'theme:cream'),
    'theme.colours[0].value',
    'must not refer to another theme colour',
  ],
  [
    'a theme colour that is none',
    (s) => (s.looks[0].parts[0].colour = 'theme:moss'),
    'looks[0].parts[0].colour',
    'no theme colour "moss"',
    'known are cream',
  ],
  // Names that lead nowhere.
  [
    'an unknown fixture',
    (s) => (s.groups[0].fixtures[1] = 'centre'),
    'groups[0].fixtures[1]',
    'no fixture "centre"',
    'known are left, right',
  ],
  [
    'a step for an unknown fixture',
    (s) => (s.chases[0].steps[1].parts[0].who = [{ fixture: 'centre' }]),
    'chases[0].steps[1].parts[0].who[0].fixture',
    'no fixture "centre"',
  ],
  [
    'a figure for an unknown group',
    (s) => (s.movements[0].who = [{ group: 'heads' }]),
    'movements[0].who[0].group',
    'no group "heads"',
    'known are both',
  ],
  [
    'a use that no fixture has',
    (s) => (s.hits[0].parts[0].who = [{ use: 'beam' }]),
    'hits[0].parts[0].who[0].use',
    'no fixture has the use "beam"',
    'known are uplight',
  ],
  [
    'an unknown look',
    (s) => (s.buttons[0].starts = [{ look: 'cold' }]),
    'buttons[0].starts[0].look',
    'no look "cold"',
    'known are warm',
  ],
  [
    'an unknown item to stop',
    (s) => (s.buttons[0].stops = [{ hit: 'boom' }]),
    'buttons[0].stops[0].hit',
    'no hit "boom"',
    'known are flash',
  ],
  ['an unknown start', (s) => (s.start = [{ movement: 'shake' }]), 'start[0].movement', 'no movement "shake"', 'known are nod'],
  [
    'an unknown button',
    (s) => (s.moments[0].buttons = ['panic']),
    'moments[0].buttons[0]',
    'no button "panic"',
    'known are warm, turn',
  ],
  [
    'a moment that starts an unknown look',
    (s) => (s.moments[0].starts = [{ look: 'cold' }]),
    'moments[0].starts[0].look',
    'no look "cold"',
  ],
  [
    'a moment that stops an unknown hit',
    (s) => (s.moments[0].stops = [{ hit: 'boom' }]),
    'moments[0].stops[0].hit',
    'no hit "boom"',
  ],
  ['an unknown look to fall back to', (s) => (s.fallback = { look: 'cold' }), 'fallback.look', 'no look "cold"', 'known are warm'],
  ['a master of an unknown group', (s) => (s.masters = { groups: { walls: 1 } }), 'masters.groups.walls', 'no group "walls"'],
  [
    'no theme colours at all',
    (s) => (s.theme.colours = []),
    'looks[0].parts[0].colour',
    'no theme colour "cream"',
    'there are none',
  ],
  // What is still empty.
  ['a look without parts', (s) => (s.looks[0].parts = []), 'looks[0].parts', 'has no parts'],
  ['a part for nobody', (s) => (s.hits[0].parts[0].who = []), 'hits[0].parts[0].who', 'speaks of no fixture yet'],
  ['a chase of one step', (s) => s.chases[0].steps.pop(), 'chases[0].steps', 'at least 2 steps (found 1)'],
  ['a figure for nobody', (s) => (s.movements[0].who = []), 'movements[0].who', 'speaks of no fixture yet'],
  ['an empty group', (s) => (s.groups[0].fixtures = []), 'groups[0].fixtures', 'has no fixtures yet'],
  ['a button that starts nothing', (s) => (s.buttons[0].starts = []), 'buttons[0].starts', 'starts nothing yet'],
  ['a fixture without an address', (s) => delete s.fixtures[1].address, 'fixtures[1].address', 'has no address yet'],
  ['a fixture without a universe', (s) => delete s.fixtures[1].universe, 'fixtures[1].universe', 'has no universe yet'],
  // Names given twice.
  ['a fixture twice', (s) => (s.fixtures[1].id = 'left'), 'fixtures[1].id', '"left" is given twice'],
  ...(['groups', 'looks', 'chases', 'movements', 'hits', 'moments'] as const).map(
    (list): Row => [`an id twice in ${list}`, (s) => s[list].push(s[list][0]), `${list}[1].id`, 'is given twice'],
  ),
  ['a theme colour twice', (s) => s.theme.colours.push(s.theme.colours[0]), 'theme.colours[1].id', '"cream" is given twice'],
  ['two buttons that read alike', (s) => (s.buttons[1].name = 'WARM'), 'buttons[1].name', '"WARM" is also the name of buttons[0]'],
  // Time.
  [
    'beats and seconds in one chase',
    (s) => (s.chases[0].steps[1].length = { seconds: 2 }),
    'chases[0].steps',
    'all in seconds or all in beats',
  ],
  // The patch.
  [
    'an unknown type',
    (s) => (s.fixtures[0].type = 'lava-lamp'),
    'fixtures[0].type',
    'no fixture type "lava-lamp"',
    'known are rgb-par, rgbw-par',
  ],
  ['a mode that the type lacks', (s) => (s.fixtures[0].mode = '9ch'), 'fixtures[0].mode', 'no mode "9ch"', 'known are 4ch, 6ch'],
  [
    'an overlap by one slot',
    (s) => (s.fixtures[1].address = 6),
    'fixtures[1].address',
    '"Right" and "Left" both want slot 6 of universe 1',
  ],
  ['past the end of a universe', (s) => (s.fixtures[1].address = 508), 'fixtures[1].address', 'slots 508 to 513', 'ends at 512'],
  // Types that a show brings along.
  [
    'one slot with two jobs',
    (s) =>
      (s.fixtureTypes = [
        ownType([
          { slot: 1, fine: 2, functions: [{ attribute: 'Pan' }] },
          { slot: 2, functions: [{ attribute: 'Tilt' }] },
        ]),
      ]),
    'fixtureTypes[0].modes[0].channels[1].slot',
    'slot 2 has a job already',
  ],
  [
    'a coarse slot that is its own fine one',
    (s) => (s.fixtureTypes = [ownType([{ slot: 1, fine: 1, functions: [{ attribute: 'Pan' }] }])]),
    'fixtureTypes[0].modes[0].channels[0].fine',
    'slot 1 has a job already',
  ],
  [
    'a range that runs backwards',
    (s) => (s.fixtureTypes = [ownType([{ slot: 1, functions: [{ attribute: 'Dimmer', from: 200, to: 100 }] }])]),
    'fixtureTypes[0].modes[0].channels[0].functions[0].to',
    'at least "from", which is 200',
    '(found 100)',
  ],
  [
    'a range without a breadth',
    (s) => (s.fixtureTypes = [ownType([{ slot: 1, functions: [{ attribute: 'Pan', physical: [90, 90] }] }])]),
    'fixtureTypes[0].modes[0].channels[0].functions[0].physical',
    'two different physical ends',
  ],
  [
    'a mode twice',
    (s) => (s.fixtureTypes = [ownType([{ slot: 1, functions: [{ attribute: 'Dimmer' }] }], 2)]),
    'fixtureTypes[0].modes[1].id',
    '"m" is given twice',
  ],
];

/** A row with its parts by name, for `it.each`. */
export const named = ([what, spoil, path, ...says]: Row) => ({ what, spoil, path, says });
