import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Show } from '../../node/show/document.ts';
import { Offline, press, type Script, START } from '../helpers/offline.ts';
import { dimmer, everybody, head, only, par, place, type TinyShow, tinyShow } from '../helpers/tiny-show.ts';
import { SlowDrawing } from './slow-drawing.ts';

const rig: Pick<TinyShow, 'fixtures' | 'groups' | 'theme'> = {
  theme: { name: 'Invented', colours: [{ id: 'deep', name: 'Deep', value: '#1020c0' }] },
  fixtures: [
    { ...head('beam-a', 1), use: 'beam' },
    par('par-a', 20),
    { ...par('par-b', 30), trim: { ColorAdd_G: 0.8 } },
    place('bare', 'rgb-par', '3ch', 40),
    place('bar', 'rgb-bar', '12ch', 50),
    place('dimmed-bar', 'rgb-bar', '14ch', 70),
    { ...place('spot', 'spot-head', '12ch', 100), use: 'spot' },
    dimmer('festoon', 120),
    { ...head('beam-b', 130), use: 'beam' },
  ],
  groups: [{ id: 'mixed', fixtures: ['spot', 'par-b', 'festoon', 'bar'] }],
};

type Looks = NonNullable<TinyShow['looks']>[number];
type Part = Looks['parts'][number];
const level = fc.constantFrom(0, 0.25, 0.6, 1);
const colour = fc.constantFrom('#ff2010', '#000000', '2700 K', 'xy 0.2 0.7', 'theme:deep', '#f0f0ff');
const who = fc.constantFrom<Part['who']>(
  everybody,
  [{ use: 'uplight' }],
  [{ use: 'beam' }, { fixture: 'spot' }],
  [{ group: 'mixed' }],
  only('bar'),
  only('par-a'),
);
const part: fc.Arbitrary<Part> = fc.record(
  {
    who,
    level,
    colour: fc.oneof(colour, fc.array(colour, { minLength: 1, maxLength: 3 })),
    brightness: fc.constantFrom('best' as const, 'match' as const),
    aim: fc.record({ pan: fc.constantFrom(-90, 30), tilt: fc.constantFrom(-20, 60) }),
    gobo: fc.constantFrom(1, 3),
    strobe: fc.constantFrom(0, 7),
    attributes: fc.record({ Dimmer: level, Focus1: level, Iris: level, Prism1: fc.constant(1) }, { requiredKeys: [] }),
  },
  { requiredKeys: ['who'] },
);
const parts = fc.array(part, { minLength: 1, maxLength: 3 });
const fade = fc.constantFrom(0, 0.7, 3);
const step = fc.record({ length: fc.constantFrom({ beats: 0.5 }, { beats: 2 }), fade: fc.constantFrom(0, 0.5, 1), parts });
const movement = fc.record(
  {
    who,
    figure: fc.constantFrom('circle' as const, 'eight', 'sweep', 'drift', 'cross-over', 'fan'),
    size: fc.record({ pan: fc.constantFrom(0, 30), tilt: fc.constantFrom(10, 45) }),
    // Long enough for every head: none is made longer.
    period: fc.constantFrom({ beats: 16 }, { seconds: 10 }),
    spread: fc.constantFrom(0, 0.5, 1),
    mirror: fc.boolean(),
    fade,
    aim: fc.constant({ pan: 10, tilt: -5 }),
  },
  { requiredKeys: ['who', 'figure', 'size', 'period', 'fade'] },
);

const anyShow: fc.Arbitrary<Show> = fc
  .record({ a: parts, b: parts, hit: parts, steps: fc.array(step, { minLength: 2, maxLength: 3 }), movement, fade })
  .map((of) =>
    tinyShow({
      ...rig,
      looks: [
        { id: 'a', fade: of.fade, parts: of.a },
        { id: 'b', fade: 1, fadeOut: 2, parts: of.b },
      ],
      chases: [{ id: 'chase', fade: of.fade, steps: of.steps }],
      movements: [{ id: 'movement', ...of.movement }],
      hits: [{ id: 'hit', fade: 0.3, parts: of.hit }],
    }),
  );

const anyPresses: fc.Arbitrary<Script> = fc
  .array(fc.tuple(fc.integer({ min: 0, max: 1500 }), fc.constantFrom('a', 'b', 'chase', 'movement', 'hit')), { maxLength: 6 })
  .map((presses) => {
    let at = 0;
    return presses.map(([wait, button]) => {
      at += wait;
      return [at, press(button)] as const;
    });
  });

describe('what is drawn', () => {
  it('is what the words of the document say, worked out one value at a time', () => {
    fc.assert(
      fc.property(anyShow, anyPresses, fc.integer({ min: 0, max: 12_000 }), (show, script, at) => {
        const night = new Offline(show, script);
        const state = night.state(at);
        const frame = night.frame(at, state);
        const slow = new SlowDrawing(show, night.show.rig.fixtures);
        for (const { id, lamps } of night.show.rig.fixtures) {
          for (const lamp of lamps) {
            for (const [name, cell] of lamp.cells)
              expect(frame[cell], `${name} of ${id} ${lamp.part}`).toBeCloseTo(slow.value(lamp, name, state, START + at), 8);
          }
        }
      }),
      { numRuns: 100 },
    );
  });
});
