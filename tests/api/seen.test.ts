import { describe, expect, it } from 'vitest';
import type { Seen } from '../../node/api/contract.ts';
import { Seeing } from '../../node/api/seen.ts';
import { Levels } from '../../node/core/levels.ts';
import type { OutputReport } from '../../node/core/report.ts';
import { Pipeline } from '../../node/pipeline/pipeline.ts';
import { compileShow } from '../../node/playback/compile.ts';
import { freshState } from '../../node/playback/reduce.ts';
import { Picture } from '../../node/rig/picture.ts';
import { emptyShow } from '../../node/show/empty.ts';
import { Offline, press, release, type Script, START } from '../helpers/offline.ts';
import { dimmer, everybody, head, only, par, place, tinyShow } from '../helpers/tiny-show.ts';

const walls = [{ use: 'uplight' as const }];
const show = tinyShow({
  theme: {
    name: 'Two colours',
    colours: [
      { id: 'plum', name: 'Plum', value: '#8a4f86' },
      { id: 'sage', name: 'Sage', value: '#9caf88' },
    ],
  },
  fixtures: [
    { ...par('one', 1), use: 'uplight' },
    { ...par('two', 11), use: 'uplight' },
    { ...dimmer('string', 21), use: 'centrepiece' },
    { ...head('beam', 31), use: 'beam' },
  ],
  groups: [{ id: 'festoon', name: 'Festoon', fixtures: ['string'] }],
  looks: [
    { id: 'plum', fade: 0, parts: [{ who: walls, level: 1, colour: 'theme:plum' }] },
    { id: 'slowly', fade: 2, parts: [{ who: walls, level: 1, colour: 'theme:plum' }] },
    { id: 'both', fade: 0, parts: [{ who: walls, level: 0.3, colour: ['theme:plum', 'theme:sage'] }] },
    { id: 'red', fade: 0, parts: [{ who: only('one'), level: 1, colour: '#ff0000' }] },
    { id: 'strobe', fade: 0, parts: [{ who: only('one'), level: 1, colour: '#ff0000', strobe: 2 }] },
    { id: 'string', fade: 0, parts: [{ who: only('string'), level: 0.6 }] },
    { id: 'beam', fade: 0, parts: [{ who: only('beam'), level: 1, colour: '#0000ff' }] },
    { id: 'alike', fade: 0, parts: [{ who: everybody, level: 1, colour: '#ff0000', aim: { pan: 0, tilt: 0 }, focus: true }] },
    { id: 'black', fade: 0, parts: [{ who: everybody, level: 0 }] },
  ],
  movements: [{ id: 'circle', fade: 0, who: only('beam'), figure: 'circle', size: { pan: 40, tilt: 30 }, period: { seconds: 4 } }],
  chases: [
    {
      id: 'runs',
      fade: 0,
      steps: ['theme:plum', 'theme:sage'].map((colour) => ({
        length: { seconds: 0.5 },
        parts: [{ who: walls, level: 1, colour }],
      })),
    },
  ],
});

/** What is said of what the guards leave of a night, at its end, after as many looks as the node takes. */
function seenAfter(
  script: Script,
  until = 5000,
  outputs: readonly OutputReport[] | 'not yet' = [sending],
  unsent: readonly number[] = [],
  from = 0,
): Seen {
  const night = new Offline(show, script);
  const pipeline = Pipeline.for(night.show, new Levels(night.show.rig.universes));
  const [picture, seeing] = [new Picture(night.show.rig), new Seeing(night.show)];
  let colours: number[] = [];
  for (let at = from; at < until; at += 50) {
    pipeline.run(night.state(at), START + at);
    colours = picture.colours(pipeline.frame);
    seeing.watch(pipeline.frame, colours, START + at);
  }
  const told = {
    state: night.state(until),
    report: outputs === 'not yet' ? undefined : { outputs, unsent, guards: [] },
    now: START + until,
  };
  return seeing.tell(pipeline.frame, colours, (place) => picture.strobes(place), told);
}
const output = (state: OutputReport['state'], dropped = 0): OutputReport => ({
  id: 'one',
  protocol: 'sacn',
  state,
  towards: 'eth0',
  packets: 1,
  dropped,
  errors: [],
  universes: [],
});
const sending = output('sending');
const line = (...script: Script): string => seenAfter(script).line;

describe('what guests see of a show without lights', () => {
  it('is not said to be dark: nothing is sent, and many lamps keep what they had last', () => {
    const empty = compileShow(emptyShow('new', 'New'));
    const seen = new Seeing(empty).tell(new Float64Array(), [], () => false, {
      state: freshState(empty, START),
      report: { outputs: [sending], unsent: [], guards: [] },
      now: START,
    });
    expect(seen.line).toBe('This show has no lights yet, so nothing is sent; lamps that were lit may stay as they are.');
  });
});

describe('what guests see, in words', () => {
  it('names the client’s colours as the client does, whatever lamps make of them, and others plainly', () => {
    expect(line([0, press('plum')])).toBe('Walls plum.');
    expect(line([0, press('both')])).toMatch(/^Walls plum and sage(, low|, faint)?\.$/);
    expect(line([0, press('red')])).toBe('Walls partly red.');
  });

  it('says in one sentence what gives the same light', () => {
    expect(line([0, press('alike')])).toBe('Walls and beams red. Festoon warm white.');
  });

  it('calls the light of a use as a group is called that is just it', () => {
    expect(line([0, press('string')])).toBe('Festoon warm white.');
  });

  it('says what moves, what changes and what flashes, and only while it does', () => {
    expect(line([0, press('beam')], [0, press('circle')])).toBe('Beams blue, moving.');
    expect(line([0, press('beam')], [0, press('circle')], [1000, release('circle')])).toBe('Beams blue.');
    expect(line([0, press('runs')])).toBe('Walls plum and sage, changing.');
    expect(line([0, press('strobe')])).toBe('Walls partly red, flashing.');
  });

  it('calls fading what is on its way, and nothing more as soon as it has come', () => {
    const words = (until: number) => seenAfter([[1000, press('slowly')]], until).line;
    expect(words(1600)).toMatch(/^Walls plum.*, fading\.$/);
    expect(words(2950)).toMatch(/, fading\.$/);
    // Two seconds of a fade; a look every 50 ms.
    for (const until of [3100, 3500, 4900]) expect(words(until)).toBe('Walls plum.');
    const pulled = (until: number) =>
      seenAfter(
        [
          [0, press('plum')],
          [3000, { do: 'master', group: 'use:uplight', level: 0.3, fade: 1 }],
        ],
        until,
      ).line;
    expect(pulled(3500)).toMatch(/, fading\.$/);
    expect(pulled(4100)).toMatch(/^Walls plum(, low|, faint)?\.$/);
    // What goes on by itself after a fade is no fade, and changes.
    const runs = (until: number) =>
      seenAfter(
        [
          [1000, press('slowly')],
          [1000, press('runs')],
        ],
        until,
      ).line;
    expect(runs(4500)).toBe('Walls plum and sage, changing.');
  });

  it('calls nothing changing because nobody looked before: to the first phone that comes what stands has stood', () => {
    const lookedLate = (script: Script) => seenAfter(script, 600_000, [sending], [], 599_900).line;
    expect(lookedLate([[0, press('plum')]])).toBe('Walls plum.');
    expect(lookedLate([[0, press('beam')]])).toBe('Beams blue.');
  });

  it('says of a master what it leaves', () => {
    expect(line([0, press('plum')], [500, { do: 'master', level: 0.1 }])).toMatch(
      /^Walls plum, (low|faint)\. All lights at 10 %\.$/,
    );
    expect(line([0, press('plum')], [0, press('string')], [500, { do: 'master', group: 'use:uplight', level: 0 }])).toBe(
      'Festoon warm white.',
    );
  });

  it('says of every level that somebody has pulled down that it is, for it stays whatever comes', () => {
    const held = (...script: Script) => seenAfter([...script]).held;
    const pull = (level: number): Script[number] => [500, { do: 'master', group: 'use:uplight', level }];
    expect(held([0, press('plum')])).toEqual([]);
    expect(held([0, press('plum')], pull(0.4))).toEqual(['Walls pulled down to 40 %']);
    expect(held([0, press('plum')], pull(0.4), [600, { do: 'all-off' }])).toEqual(['Walls pulled down to 40 %']);
    expect(held([0, press('plum')], pull(0.4), [600, pull(1)[1]])).toEqual([]);
  });

  it('says dark where it is dark, and why', () => {
    expect(line()).toBe('Dark: nothing is on.');
    expect(line([0, press('plum')], [500, { do: 'blackout', on: true }])).toBe('Dark: blackout.');
    expect(line([0, press('plum')], [500, { do: 'master', level: 0 }])).toBe('Dark: all lights are at 0 %.');
    expect(line([0, press('plum')], [500, { do: 'master', group: 'use:uplight', level: 0 }])).toBe('Dark: walls at 0 %.');
    expect(line([0, press('black')])).toBe('Dark: what is on gives no light.');
    expect(seenAfter([[0, press('black')]]).dark).toBe(true);
  });

  it('says where it goes: to no light where every output stands, and nothing before the outputs have spoken', () => {
    const sent = (outputs: readonly OutputReport[] | 'not yet') => seenAfter([[0, press('plum')]], 1000, outputs).sent;
    expect(sent([sending])).toBe('all');
    expect(sent([output('waiting', 40)])).toBe('nowhere');
    expect(sent([output('failing')])).toBe('nowhere');
    expect(sent([])).toBe('nowhere');
    expect(sent([sending, output('waiting', 40)])).toBe('partly');
    // Art-Net that nobody has asked for, beside sACN that sends.
    expect(sent([sending, output('waiting')])).toBe('all');
    expect(sent('not yet')).toBe('unknown');
    expect(seenAfter([[0, press('plum')]], 1000, [sending], [2]).sent).toBe('partly');
  });
});

describe('what whoever presses would like to know besides', () => {
  const foggy = tinyShow({
    fixtures: [
      { ...head('beam', 1), use: 'beam' },
      { ...place('hazer', 'hazer', '1ch', 20), use: 'haze' },
    ],
    looks: [
      { id: 'rays', fade: 0, parts: [{ who: only('beam'), level: 1 }] },
      { id: 'veil', fade: 0, parts: [{ who: only('hazer'), haze: 0.3 }] },
    ],
  });
  const hintsAfter = (script: Script): readonly string[] => {
    const night = new Offline(foggy, script);
    const pipeline = Pipeline.for(night.show, new Levels(night.show.rig.universes));
    pipeline.run(night.state(1000), START + 1000);
    const told = { state: night.state(1000), report: undefined, now: START + 1000 };
    const colours = new Picture(night.show.rig).colours(pipeline.frame);
    return new Seeing(night.show).tell(pipeline.frame, colours, () => false, told).hints;
  };
  const permitted = { do: 'allow-haze', on: true } as const;

  it('is that beams show nothing on their way where no haze goes out, from the frame that leaves', () => {
    const dots = 'No haze runs: beams are only dots where they land';
    expect(hintsAfter([])).toEqual([]);
    expect(hintsAfter([[0, press('rays')]])).toEqual([dots]);
    // Held by the guard: it does not run.
    expect(
      hintsAfter([
        [0, press('rays')],
        [0, press('veil')],
      ]),
    ).toEqual([dots]);
  });

  it('is that a machine may be warming up when it is asked for haze, where its type says that it has to', () => {
    expect(
      hintsAfter([
        [0, permitted],
        [0, press('rays')],
        [0, press('veil')],
      ]),
    ).toEqual(['hazer: may be warming up, about 5 minutes from when it gets power']);
  });
});
