import { describe, expect, it } from 'vitest';
import { Heard } from '../../node/api/heard.ts';
import type { Listened, Sender } from '../../node/core/heard.ts';
import { Picture } from '../../node/rig/picture.ts';
import type { Show } from '../../node/show/document.ts';
import { checkShow } from '../../node/show/read.ts';
import { levelOf } from '../helpers/lightness.ts';
import { Offline, press } from '../helpers/offline.ts';
import { head, par, place, type TinyShow, tinyShow } from '../helpers/tiny-show.ts';
import { demoNames, demoShow } from '../show/demo-show.ts';

const NOW = 100_000;

/** A universe of so many slots; those that are named have values. */
function universe(number: number, values: Readonly<Record<number, readonly number[]>> = {}, length = 512) {
  const slots = new Uint8Array(length);
  for (const [at, some] of Object.entries(values)) slots.set(some, Number(at) - 1);
  return { universe: number, priority: 100, perSecond: 40, lastSeenAt: NOW, slots };
}
const sender = (universes: Sender['universes'], rest: Partial<Sender> = {}): Sender => ({
  ...{ id: 'sacn-1', protocol: 'sacn', name: 'Desk', address: '192.0.2.7' },
  universes,
  ...rest,
});

function hearing(show: TinyShow | Show, senders: readonly Sender[], previews: readonly string[] = []) {
  const asked: (readonly number[])[] = [];
  const heard = new Heard({
    listen: (universes): Listened => {
      asked.push(universes);
      return { senders, previews, artnet: [1] };
    },
    show: () => ('format' in show ? (show as Show) : tinyShow(show)),
    address: () => '192.0.2.10',
  });
  return { answer: (of?: string) => heard.answer(of, NOW), asked };
}
/** The look of one sender's slots in universe 1. */
const lookOf = (fixtures: TinyShow['fixtures'], values: Readonly<Record<number, readonly number[]>>) =>
  hearing({ fixtures: fixtures ?? [] }, [sender([universe(1, values)])]).answer('sacn-1').look;

/**
 * Expected values: slots as the library's type tables lay them out, GDTF's line from DMX to physical values (DIN SPEC 15800), light of emitters
 * by its annex B, and lightness by CIE 15, all worked out by hand.
 */
describe('what another controller sends becomes', () => {
  it('levels and colours of a lamp with a dimmer', () => {
    // Dimmer 128, red 255.
    expect(lookOf([par('a', 1)], { 1: [128, 255, 0, 0, 0, 0] })).toEqual({
      parts: [
        { who: [{ all: true }], brightness: 'best', level: 0 },
        { who: [{ all: true }], brightness: 'best', level: expect.closeTo(levelOf(128 / 255), 3), colour: 'xy 0.6400 0.3300' },
      ],
      left: [],
    });
  });

  it('levels and colours of a lamp that is dimmed by its emitters, and one that is held back', () => {
    const fixtures = [place('a', 'rgb-par', '3ch', 1), { ...place('b', 'rgb-par', '3ch', 4), dim: 0.5 }];
    const parts = lookOf(fixtures, { 1: [0, 0, 64, 0, 0, 64] })?.parts;
    expect(parts?.slice(1)).toEqual([
      { who: [{ fixture: 'a' }], brightness: 'best', level: expect.closeTo(levelOf(64 / 255), 3), colour: 'xy 0.1500 0.0600' },
      // It gives half its light at full, so this much is twice as much of what it may.
      { who: [{ fixture: 'b' }], brightness: 'best', level: expect.closeTo(levelOf(128 / 255), 3), colour: 'xy 0.1500 0.0600' },
    ]);
  });

  it('a mixture at the chromaticity that its lights add up to', () => {
    // Y of annex B: red 21.3, green 71.5. X and sum by x and y: (0.64, 0.33) and (0.3, 0.6).
    const [X, Y, sum] = [(21.3 * 0.64) / 0.33 + (71.5 * 0.3) / 0.6, 21.3 + 71.5, 21.3 / 0.33 + 71.5 / 0.6];
    const look = lookOf([place('a', 'rgb-par', '3ch', 1)], { 1: [255, 255, 0] });
    expect(look?.parts[1]).toMatchObject({ level: 1, colour: `xy ${(X / sum).toFixed(4)} ${(Y / sum).toFixed(4)}` });
  });

  it('aim, zoom and places of wheels of heads', () => {
    // Pan at two thirds of -270 to 270, tilt and dimmer full, shutter open (31 of 0 to 31), white full, zoom at its widest.
    const beam = lookOf([head('a', 1)], { 1: [0xaa, 0xaa, 255, 255, 255, 255, 31, 0, 0, 0, 255, 255] })?.parts[1];
    // White alone is half of what red, green, blue and white give together: 100 of 200 by annex B.
    expect(beam).toMatchObject({ level: expect.closeTo(levelOf(0.5), 2), aim: { pan: 90, tilt: expect.any(Number) }, zoom: 45 });
    // Colour wheel at 32 to 63: its second place of eight; gobo wheel at 0: the first, as it rests.
    const spot = lookOf([place('a', 'spot-head', '12ch', 1)], { 1: [128, 0, 128, 0, 31, 255, 255, 40, 0, 0, 0, 0] })?.parts[1];
    expect(spot).toMatchObject({ level: 1, attributes: { Color1: 2 } });
    expect(spot).not.toHaveProperty('gobo');
  });

  it('one colour for each cell of a bar, black for those that are dark', () => {
    const bar = lookOf([place('a', 'rgb-bar', '12ch', 1)], { 1: [255, 0, 0, 0, 0, 0, 0, 0, 255, 255, 0, 0] });
    expect(bar?.parts[1]).toMatchObject({
      level: 1,
      colour: ['xy 0.6400 0.3300', '#000000', 'xy 0.1500 0.0600', 'xy 0.6400 0.3300'],
    });
    expect(bar?.left).toEqual([]);
  });

  it('UV behind a dimmer, with the other emitters black', () => {
    const look = lookOf([place('a', 'six-colour-par', '8ch', 1)], { 1: [255, 0, 0, 0, 0, 0, 255, 0] });
    expect(look?.parts[1]).toMatchObject({ level: 1, colour: '#000000', uv: 1 });
  });

  it('darkness where nothing is lit, or a shutter is shut', () => {
    expect(lookOf([head('a', 1)], { 1: [0, 0, 0, 0, 255, 255, 0, 255, 0, 0, 0, 0] })?.parts).toHaveLength(1);
    expect(lookOf([par('a', 1)], {})?.parts).toHaveLength(1);
  });
});

describe('what is not in the look', () => {
  it('is said: haze, strobe, what turns by itself', () => {
    const look = lookOf(
      [par('par', 1), { ...place('hazer', 'hazer', '2ch', 10), use: 'haze' }, place('spot', 'spot-head', '12ch', 20)],
      { 1: [255, 255, 0, 0, 0, 255], 10: [200, 100], 20: [0, 0, 0, 0, 31, 255, 255, 0, 0, 128, 0, 0] },
    );
    expect(JSON.stringify(look?.parts)).not.toMatch(/haze|strobe|Rotate|fan/i);
    // The flashing lamp stays on.
    expect(look?.parts).toHaveLength(3);
    expect(look?.left).toEqual([
      'Left out, as it needs a person: haze and fog (hazer).',
      'Left out, as it needs a person: strobe (par).',
      'Left out, as it needs a person: what turns by itself (spot).',
    ]);
  });

  it('are slots of no light, by number', () => {
    const { look } = hearing({ fixtures: [par('a', 1)] }, [
      sender([universe(1, { 1: [255, 255, 0, 0, 0, 0], 12: [1], 40: [1, 2, 3] })]),
    ]).answer('sacn-1');
    expect(look?.left).toEqual(['4 slots of universe 1 are of no light of yours and left out: 12 and 40–42.']);
  });

  it('are lights on universes that are not heard, which stay as they are', () => {
    const fixtures = [par('a', 1), { ...par('b', 1), universe: 2 }];
    const { look, senders } = hearing({ fixtures }, [sender([universe(1, { 1: [255, 255, 0, 0, 0, 0] })])]).answer('sacn-1');
    expect(look?.parts.map(({ who }) => who)).toEqual([[{ fixture: 'a' }], [{ fixture: 'a' }]]);
    expect(look?.left).toEqual(['Nothing is heard on universe 2: the look leaves b as it is.']);
    expect(senders[0]?.lights).toBe(1);
  });

  it('are lights beyond the last slot that is sent', () => {
    const { look, senders } = hearing({ fixtures: [par('a', 1), par('b', 20)] }, [
      sender([universe(1, { 1: [255, 255, 0, 0, 0, 0] }, 24)]),
    ]).answer('sacn-1');
    expect(senders[0]?.lights).toBe(1);
    expect(look?.left).toEqual(['Not all slots of some lights are sent: the look leaves b as it is.']);
  });

  it('is how unlike the parts of a pack are', () => {
    const look = lookOf([place('pack', 'dimmer-pack', '4ch', 1)], { 1: [255, 128, 0, 0] });
    expect(look?.left).toEqual(['The parts of pack are not equally bright: in the look they are all as bright as the brightest.']);
  });
});

describe('who is heard', () => {
  it('is told with what it reaches, those that reach most first', () => {
    const wide = sender([universe(1), universe(2)], { id: 'sacn-2', name: 'Wide', address: '192.0.2.8' });
    const low = sender([{ ...universe(1), priority: 50 }]);
    const { answer, asked } = hearing({ fixtures: [par('a', 1), { ...par('b', 1), universe: 2 }] }, [low, wide], ['Drawing']);
    expect(answer()).toEqual({
      senders: [
        {
          ...{ id: 'sacn-2', protocol: 'sacn', name: 'Wide', address: '192.0.2.8', universes: [1, 2], priority: 100 },
          ...{ perSecond: 40, ago: 0, lights: 2, outranked: [] },
        },
        // E1.31-2018 section 6.2.3: the higher priority wins.
        expect.objectContaining({ id: 'sacn-1', priority: 50, lights: 1, outranked: [1] }),
      ],
      ...{ previews: ['Drawing'], universes: [1, 2], sacnOnly: [2], lights: 2, address: '192.0.2.10' },
    });
    expect(asked).toEqual([[1, 2]]);
  });

  it('is a bounded list', () => {
    const flood = Array.from({ length: 500 }, (_, i) => sender([universe(1)], { id: `sacn-${i}` }));
    expect(hearing({ fixtures: [par('a', 1)] }, flood).answer().senders).toHaveLength(24);
  });

  it('has no look when it is gone', () => {
    expect(hearing({ fixtures: [par('a', 1)] }, []).answer('sacn-1')).not.toHaveProperty('look');
  });

  it('is listened for on lights that have an address, whatever else the show lacks', () => {
    const show = tinyShow({ fixtures: [par('a', 1)] });
    const { address: _, universe: __, ...lost } = show.fixtures[0] as Show['fixtures'][number];
    const unfinished: Show = {
      ...show,
      fixtures: [...show.fixtures, { ...lost, id: 'lost' }, { ...lost, id: 'odd', type: 'none' }],
    };
    const { answer } = hearing(unfinished, [sender([universe(1, { 1: [255, 255, 0, 0, 0, 0] })])]);
    expect(answer('sacn-1')).toMatchObject({ universes: [1], lights: 1, look: { parts: [{}, { level: 1 }] } });
  });
});

/** Out by our own encoder and back: the other way round than everything above, over whole shows. */
describe('a look of a demo that another node would send', () => {
  it.each(
    demoNames.flatMap((name) =>
      demoShow(name)
        .looks.slice(0, 3)
        .map(({ id }) => [name, id] as const),
    ),
  )('is seen again: %s, %s', (name, look) => {
    const show = { ...demoShow(name), start: [], moments: [], buttons: [{ id: 'press', name: 'Press', starts: [{ look }] }] };
    const was = new Offline(checkShow(show), [[0, press('press')]]);
    const sent = was.show.rig.universes.map((one) => ({ ...universe(one), slots: was.slots(COME, one) }));
    const { look: taken } = hearing(was.show.show, [sender(sent)]).answer('sacn-1');
    if (taken === undefined || taken.parts.length < 2) return void expect(lit(was)).toEqual([]);
    const looks = [...show.looks, { id: 'taken', name: 'Taken', fade: 0, parts: taken.parts }];
    const buttons = [{ id: 'press', name: 'Press', starts: [{ look: 'taken' }] }];
    const again = new Offline(checkShow({ ...show, looks, buttons }), [[0, press('press')]]);
    const now = colours(again);
    // Channels of eight bits: a step of them is more than one of the screen where light is low.
    for (const [i, packed] of colours(was).entries())
      for (const shift of [16, 8, 0])
        expect(Math.abs(((packed >> shift) & 255) - (((now[i] ?? 0) >> shift) & 255)), `light ${i}`).toBeLessThanOrEqual(8);
  });
});
const COME = 60_000;
const colours = (night: Offline): number[] => [...new Picture(night.show.rig).colours(Float64Array.from(night.frame(COME)))];
const lit = (night: Offline): number[] => colours(night).filter((one) => one > 0);
