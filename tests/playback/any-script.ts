import fc from 'fast-check';
import type { Command } from '../../node/core/commands.ts';
import type { Script } from '../helpers/offline.ts';
import { dimmer, everybody, head, only, par, place, tinyShow } from '../helpers/tiny-show.ts';

/** A rig and a show of everything, small, with something over something everywhere. No fade is 0: nothing has a reason to jump. */
export const bigLittleShow = tinyShow({
  fixtures: [
    dimmer('festoon', 1),
    par('par-a', 10),
    par('par-b', 16),
    place('bare', 'rgb-par', '3ch', 30),
    place('fine', 'six-colour-par', '9ch-fine', 40),
    place('spot', 'spot-head', '12ch', 1, 2),
    { ...head('beam', 20), universe: 2 },
    place('derby', 'derby', '6ch', 100, 2),
    place('hazer', 'hazer', '2ch', 511, 2),
  ],
  groups: [
    { id: 'pars', fixtures: ['par-a', 'par-b', 'bare'] },
    // An id that every object has something under.
    { id: 'constructor', fixtures: ['par-b', 'fine', 'spot'] },
  ],
  looks: [
    { id: 'base', fade: 1.5, stay: true, unattended: true, parts: [{ who: everybody, level: 0.3, colour: ['2700 K', '#3050ff'] }] },
    {
      id: 'full',
      fade: 2,
      parts: [{ who: everybody, level: 0.9, colour: '#ff2010', aim: { pan: 40, tilt: -30 }, uv: 0.5, haze: 0.7 }],
    },
    { id: 'pars-low', fade: 0.7, parts: [{ who: [{ group: 'pars' }], level: 0.1, strobe: 3 }] },
    {
      id: 'spot',
      fade: 3,
      unattended: true,
      parts: [{ who: only('spot'), level: 1, gobo: 4, aim: { pan: -90, tilt: 45 }, strobe: 0 }],
    },
    {
      id: 'odd',
      fade: 0.333,
      fadeOut: 7,
      parts: [{ who: everybody, level: 0.7, zoom: 17, attributes: { PanRotate: 0.3, Iris: 0.4, Prism1: 1 } }],
    },
  ],
  chases: [
    {
      id: 'turns',
      fade: 1,
      steps: [
        { length: { beats: 1 }, fade: 0.3, parts: [{ who: only('par-a'), level: 1, colour: '#00ff00' }] },
        { length: { beats: 0.5 }, fade: 1, parts: [{ who: only('par-b'), level: 1 }] },
        { length: { beats: 2 }, parts: [{ who: everybody, level: 0.2, strobe: 5 }] },
      ],
    },
    {
      id: 'breathes',
      fade: 2,
      unattended: true,
      steps: [
        { length: { seconds: 1.1 }, fade: 1, parts: [{ who: everybody, level: 0.15 }] },
        { length: { seconds: 0.7 }, fade: 0.9, parts: [{ who: everybody, level: 0.85 }] },
      ],
    },
  ],
  movements: [
    {
      id: 'around',
      fade: 1,
      fadeOut: 4,
      who: everybody,
      figure: 'circle',
      size: { pan: 20, tilt: 10 },
      period: { beats: 8 },
      spread: 0.5,
    },
    {
      id: 'there',
      fade: 2,
      who: everybody,
      figure: 'drift',
      aim: { pan: 10, tilt: 20 },
      size: { pan: 30, tilt: 5 },
      period: { seconds: 9 },
    },
  ],
  hits: [
    { id: 'flash', fade: 0.1, longest: 2, parts: [{ who: everybody, level: 1, colour: '#ffffff', strobe: 12 }] },
    { id: 'blind', fade: 0.5, longest: 0.3, parts: [{ who: only('festoon'), level: 1 }] },
  ],
  buttons: [
    {
      id: 'dance',
      starts: [{ look: 'full' }, { movement: 'around' }, { chase: 'turns' }],
      stops: [{ chase: 'breathes' }, { look: 'spot' }],
    },
    {
      id: 'calm',
      starts: [{ chase: 'breathes' }, { look: 'spot' }],
      stops: [{ movement: 'around' }, { movement: 'there' }, { chase: 'turns' }],
    },
  ],
  moments: [
    { id: 'early', starts: [{ look: 'full' }], stops: [{ look: 'spot' }] },
    { id: 'late', starts: [{ look: 'spot' }, { chase: 'breathes' }], stops: [{ look: 'full' }, { movement: 'around' }] },
  ],
  start: [{ look: 'base' }],
  masters: { all: 0.9, groups: { pars: 0.8 } },
  fallback: { look: 'pars-low' },
});

const buttonIds = [...bigLittleShow.buttons.map(({ id }) => id), 'of-yesterday', '__proto__'];
const groupIds = ['pars', 'constructor', 'of-yesterday', '__proto__'];
const button = fc.constantFrom(...buttonIds);
/** Seconds, never 0. */
const fade = fc.integer({ min: 1, max: 6000 }).map((millis) => millis / 1000);

/** One arbitrary for every command there is: a new one does not compile without. */
const commands: { readonly [Do in Command['do']]: fc.Arbitrary<Extract<Command, { do: Do }>> } = {
  press: fc.record({ do: fc.constant('press'), button }),
  release: fc.record({ do: fc.constant('release'), button }),
  try: fc.record(
    {
      do: fc.constant('try'),
      item: fc.constantFrom('look:full', 'look:spot', 'chase:turns', 'movement:there', 'look:of-yesterday'),
    },
    { requiredKeys: ['do'] },
  ),
  moment: fc.record({ do: fc.constant('moment'), moment: fc.constantFrom('early', 'late', 'of-yesterday', '__proto__') }),
  late: fc.record({ do: fc.constant('late'), minutes: fc.integer({ min: -60, max: 60 }) }),
  order: fc.record({ do: fc.constant('order'), moments: fc.shuffledSubarray(['early', 'late', 'of-yesterday']) }),
  'new-night': fc.record({ do: fc.constant('new-night') }),
  'all-off': fc.record({ do: fc.constant('all-off'), fade }, { requiredKeys: ['do'] }),
  'lights-up': fc.record({ do: fc.constant('lights-up') }),
  leave: fc.record({ do: fc.constant('leave'), minutes: fc.integer({ min: 0, max: 60 }) }),
  'allow-haze': fc.record({ do: fc.constant('allow-haze'), on: fc.boolean() }),
  'arm-lasers': fc.record({ do: fc.constant('arm-lasers'), plan: fc.constant(true) }),
  'close-lasers': fc.record({ do: fc.constant('close-lasers') }),
  'raise-flashes': fc.record({ do: fc.constant('raise-flashes'), most: fc.integer({ min: 4, max: 10 }), read: fc.constant(true) }),
  'lower-flashes': fc.record({ do: fc.constant('lower-flashes') }),
  crew: fc.record({ do: fc.constant('crew'), on: fc.boolean() }),
  blackout: fc.record({ do: fc.constant('blackout'), on: fc.boolean() }),
  master: fc.record(
    { do: fc.constant('master'), group: fc.constantFrom(...groupIds), level: fc.double({ min: 0, max: 1, noNaN: true }), fade },
    { requiredKeys: ['do', 'level'] },
  ),
  tempo: fc.record({ do: fc.constant('tempo'), bpm: fc.integer({ min: 20, max: 300 }) }),
  undo: fc.record({ do: fc.constant('undo'), number: fc.integer({ min: 1, max: 20 }) }),
  'fall-back': fc.record({ do: fc.constant('fall-back') }),
  resume: fc.record({ do: fc.constant('resume') }),
  'let-go': fc.record({ do: fc.constant('let-go') }),
};
const weights: Partial<Record<Command['do'], number>> = { press: 12, release: 6, tempo: 2, master: 2 };

export const anyCommand = (without: readonly Command['do'][] = []): fc.Arbitrary<Command> =>
  fc.oneof(
    ...(Object.keys(commands) as Command['do'][])
      .filter((name) => !without.includes(name))
      .map((name) => ({ weight: weights[name] ?? 1, arbitrary: commands[name] as fc.Arbitrary<Command> })),
  );

/** Often shorter than any fade, sometimes longer than most. */
const pause = fc.oneof(fc.integer({ min: 0, max: 400 }), fc.integer({ min: 0, max: 4000 }));

/** Nobody is missed sooner: the shortest time that a document allows, and the shortest countdown. */
const SHORTEST_SILENCE = 10_000;

/** Commands one after another, from none apart to some seconds. */
export const anyScript = (of: { maxLength: number; without?: readonly Command['do'][] }): fc.Arbitrary<Script> =>
  fc.array(fc.tuple(pause, anyCommand(of.without)), { minLength: 1, maxLength: of.maxLength }).map((steps) => {
    let at = 0;
    return steps.map(([wait, command]) => {
      at += command.do === 'fall-back' ? wait + SHORTEST_SILENCE : wait;
      return [at, command] as const;
    });
  });

/** An instant somewhere in a script, or a while after it. */
export const during = (script: Script): fc.Arbitrary<number> => fc.integer({ min: 0, max: endOf(script) + 10_000 });

export const endOf = (script: Script): number => script.at(-1)?.[0] ?? 0;
