import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Channel, ChannelFunction, FixtureType, Mode } from '../../../node/rig/fixture-type.ts';
import { fixtureType } from '../../../node/rig/fixture-type.ts';
import { library } from '../../../node/rig/library.ts';
import {
  jobOf,
  mistakesIn,
  placesInWords,
  placesOf,
  plainChannel,
  readPlaces,
  tableOf,
  wholeModes,
  withChannel,
  withFine,
  withoutSlot,
  withPlaces,
} from '../../../ui/src/bench/lights/type-form.ts';

const mode = (channels: readonly Channel[]): Mode => ({ id: 'own', name: 'Own', channels: [...channels] });
const rows = (channels: readonly Channel[]) =>
  tableOf(mode(channels)).map(({ channel, fineOf }) =>
    channel !== undefined
      ? channel.functions[0]?.attribute
      : fineOf === undefined
        ? '-'
        : `fine of ${fineOf.functions[0]?.attribute}`,
  );
const colours = [plainChannel(1, 'ColorAdd_R'), plainChannel(2, 'ColorAdd_G'), plainChannel(3, 'ColorAdd_B')];

describe('A table of channels', () => {
  it('gets a channel in between, and what is behind moves on', () => {
    expect(rows(withChannel(colours, 1, 'Dimmer'))).toEqual(['Dimmer', 'ColorAdd_R', 'ColorAdd_G', 'ColorAdd_B']);
    expect(rows(withChannel(colours, 4))).toEqual(['ColorAdd_R', 'ColorAdd_G', 'ColorAdd_B', 'NoFeature']);
  });

  it('makes room for a lower byte, or takes the unused channel behind', () => {
    const wide = withFine(colours, 1, true);
    expect(rows(wide)).toEqual(['ColorAdd_R', 'fine of ColorAdd_R', 'ColorAdd_G', 'ColorAdd_B']);
    expect(wide[0]?.functions[0]).toMatchObject({ from: 0, to: 65_535 });
    expect(rows(withFine([plainChannel(1, 'Pan'), plainChannel(2), plainChannel(3, 'Tilt')], 1, true))).toEqual([
      'Pan',
      'fine of Pan',
      'Tilt',
    ]);
    expect(withFine(wide, 1, false)).toEqual(colours);
  });

  it('loses a channel with its lower byte, or an empty one', () => {
    expect(rows(withoutSlot(withFine(colours, 1, true), 1))).toEqual(['ColorAdd_G', 'ColorAdd_B']);
    expect(rows(withoutSlot(colours, 2))).toEqual(['ColorAdd_R', 'ColorAdd_B']);
  });

  it('stays a table whatever is done to it: every slot has one job at most', () => {
    const step = fc.tuple(fc.constantFrom('add', 'out', 'fine', 'coarse'), fc.integer({ min: 1, max: 12 }));
    fc.assert(
      fc.property(fc.array(step, { maxLength: 40 }), (steps) => {
        let channels: Channel[] = [...colours];
        for (const [what, slot] of steps) {
          if (what === 'add') channels = withChannel(channels, Math.min(slot, tableOf(mode(channels)).length + 1));
          if (what === 'out' && channels.length > 1) channels = withoutSlot(channels, slot);
          if (what === 'fine' || what === 'coarse') channels = withFine(channels, slot, what === 'fine');
        }
        expect(mistakesIn(mode(channels))).toEqual([]);
        expect(typeof wholeModes([mode(channels)])).toBe('object');
        expect(tableOf(mode(channels)).every(({ channel, fineOf }) => channel !== undefined || fineOf !== undefined)).toBe(true);
      }),
    );
  });

  it('is read out of every type of the library without a mistake, and is what it was', () => {
    for (const { modes } of library.values())
      for (const one of modes) {
        expect(mistakesIn(one).filter(({ field }) => field !== 'from')).toEqual([]);
        expect(wholeModes([one])).toEqual([one]);
      }
  });
});

describe('What is amiss in a table', () => {
  const told = (channel: Channel) =>
    mistakesIn(mode([channel])).map(({ job, field, message }) => `${job ?? ''} ${field}: ${message}`);
  it('is told at the field', () => {
    const strobe = (from: number, to: number): Channel => ({
      slot: 1,
      functions: [jobOf('NoFeature', 0, 7), jobOf('Shutter1Strobe', from, to)],
    });
    expect(told(strobe(8, 255))).toEqual([]);
    expect(told(strobe(5, 255))).toEqual(['1 from: 5 belongs to another job already.']);
    expect(told(strobe(200, 100))).toEqual(['1 to: Ends before it begins, at 200.']);
    expect(told({ ...plainChannel(1, 'Dimmer'), default: 300 })).toEqual([' default: Is above 255.']);
    expect(told({ ...plainChannel(1, 'Dimmer'), fine: 1 })).toEqual([' slot: Channel 1 has a job already, with channel 1.']);
  });
});

describe('Places of a wheel', () => {
  it('are read as people write them', () => {
    expect(readPlaces('open, red; blue')).toEqual([{ name: 'open' }, { name: 'red' }, { name: 'blue' }]);
    expect(readPlaces('open 0-9, light blue 10 – 19, split 20')).toEqual([
      { name: 'open', from: 0, to: 9 },
      { name: 'light blue', from: 10, to: 19 },
      { name: 'split', from: 20, to: 20 },
    ]);
    expect(readPlaces('open 0–9, red')).toBe('Say of all places where they are, or of none: “red” has no numbers.');
    expect(readPlaces('open 9–0')).toBe('“open” must go from a number up to another, 255 at most.');
    expect(readPlaces(' , ')).toMatch(/^Write the places/);
  });

  it('become a job, and are written again as they were', () => {
    const type = (wheels: FixtureType['wheels']): FixtureType =>
      fixtureType.parse({ id: 't', name: 'T', modes: [mode([plainChannel(1, 'Color1')])], wheels });
    const channel = plainChannel(1, 'Color1');
    const written = (attribute: 'Color1' | 'Shutter1' | 'Prism1', text: string, wheels: FixtureType['wheels'] = {}) => {
      const places = readPlaces(text);
      const job = typeof places === 'string' ? places : withPlaces(jobOf(attribute, 0, 255), channel, places);
      return typeof job === 'string' ? job : placesInWords(placesOf(job as ChannelFunction, channel, type(wheels)));
    };
    const Color1 = [{ name: 'open' }, { name: 'red' }];
    expect(written('Color1', 'open, red', { Color1 })).toBe('open, red');
    expect(written('Color1', 'open 0–9, red 10–19', { Color1 })).toBe('open 0–9, red 10–19');
    expect(written('Shutter1', 'closed 0–7, open 8–15, closed 16')).toBe('closed 0–7, open 8–15, closed 16');
    expect(written('Shutter1', 'closed, open')).toMatch(/^Say where it is closed/);
    expect(written('Shutter1', 'ajar 0–7')).toMatch(/^Call them/);
    expect(written('Prism1', 'out 0–9, three facets 10–255', { Prism1: [{ name: 'three facets' }] })).toBe(
      'out 0–9, three facets 10–255',
    );
  });
});
