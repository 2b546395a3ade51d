import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { InputError } from '../../node/core/errors.ts';
import { Levels } from '../../node/core/levels.ts';
import type { Millis } from '../../node/core/units.ts';
import { Encoder } from '../../node/dmx/encode.ts';
import type { ItemKey } from '../../node/show/document.ts';
import { SHOW_VERSION, type Show } from '../../node/show/document.ts';
import { checkShow, readShow } from '../../node/show/read.ts';
import { bringUp, type Document, steps } from '../../node/show/versions.ts';
import { Offline, START } from '../helpers/offline.ts';
import { members } from './demo-show.ts';
import { smallShow } from './small-show.ts';

/** Documents as older nodes wrote them, VERSION-NAME.json. They do not change any more. */
const folder = new URL('./old/', import.meta.url);
const old = readdirSync(folder)
  .sort()
  .map((file) => ({
    file,
    version: Number.parseInt(file, 10),
    name: file.replace(/^\d+-|\.json$/g, ''),
    text: readFileSync(new URL(file, folder), 'utf8'),
  }));

/** Demo evenings change with the versions; of one evening these are the same show. */
const newestOld = Math.max(...old.map(({ version }) => version));

/** By the version that a step leads to: something before it, and the same after it. */
const samples: Readonly<Record<number, readonly (readonly [before: Document, after: Document])[]>> = {
  2: [
    [
      { format: 'duskhand-show', version: 1, outputs: [{ id: 'x', protocol: 'sacn' }] },
      { format: 'duskhand-show', version: 2 },
    ],
    [
      {
        version: 1,
        name: 'Dinner\u001b[2J',
        notes: 'two\nlines\u0000\ud800',
        buttons: [{ line: 'a\u202eb', starts: 7 }, null],
        looks: [{ name: 'Warm', parts: [{ attributes: { Dimmer: -5, Focus1: 1e308, Gobo1: 2.4, Glow: 9, Iris: 'x' } }] }],
        chases: [{ steps: [{ parts: [{ attributes: { Pan: 541, Tilt: -270, Shutter1Strobe: 30 } }] }] }],
        moments: 'none',
      },
      {
        version: 2,
        name: 'Dinner\ufffd[2J',
        notes: 'two\nlines\ufffd\ufffd',
        buttons: [{ line: 'a\ufffdb', starts: 7 }, null],
        looks: [{ name: 'Warm', parts: [{ attributes: { Dimmer: 0, Focus1: 1, Gobo1: 2, Glow: 9, Iris: 'x' } }] }],
        chases: [{ steps: [{ parts: [{ attributes: { Pan: 540, Tilt: -270, Shutter1Strobe: 25 } }] }] }],
        moments: 'none',
      },
    ],
  ],
  4: [
    [
      {
        version: 3,
        looks: [{ parts: [{ aim: { pan: 1, tilt: 2 } }, { level: 1 }, null] }, { parts: 'none' }],
        hits: [{ parts: [{ attributes: { Tilt: 3 } }, { attributes: { Iris: 1 } }] }],
        chases: [{ steps: [{ parts: [{ aim: { pan: 0, tilt: 0 }, level: 1 }] }, 7] }],
      },
      {
        version: 4,
        looks: [{ parts: [{ aim: { pan: 1, tilt: 2 }, focus: true }, { level: 1 }, null] }, { parts: 'none' }],
        hits: [{ parts: [{ attributes: { Tilt: 3 }, focus: true }, { attributes: { Iris: 1 } }] }],
        chases: [{ steps: [{ parts: [{ aim: { pan: 0, tilt: 0 }, level: 1, focus: true }] }, 7] }],
      },
    ],
  ],
  3: [
    [
      {
        version: 2,
        // Light of 0.5 and 0.25 is L* 76.07 and 57.08, of 0.18 49.50, of 0.01 8.99 (CIE 15); 0.3 squared is 0.09, L* 35.98.
        masters: { all: 0.5, groups: { front: 0.18 } },
        fixtureTypes: [{ id: 'even', dimming: 'linear' }, { id: 'plain' }],
        fixtures: [
          { id: 'par', type: 'rgb-par', use: 'uplight', dim: 0.5 },
          { id: 'tube', type: 'pixel-tube', use: 'totem', dim: 0.5 },
          { id: 'own', type: 'even', use: 'uplight' },
          7,
        ],
        groups: [{ id: 'all', fixtures: ['tube', 'par'] }],
        looks: [
          { parts: [{ who: [{ use: 'uplight' }], level: 0.3, colour: '#ff0000' }] },
          { parts: [{ who: [{ fixture: 'par' }], level: 1, uv: 0.25, attributes: { Dimmer: 0.01, Iris: 0.5 } }] },
          { parts: [{ who: [{ group: 'all' }], level: 0, haze: 0.5 }, null] },
          { name: 'empty' },
        ],
        hits: [{ parts: [{ who: [{ all: true }], attributes: { Dimmer: 0.3 } }] }],
        chases: [{ steps: [{ fade: 0.5, parts: [{ who: [{ fixture: 'par' }], level: 'x' }] }] }],
      },
      {
        version: 3,
        masters: { all: 0.7607, groups: { front: 0.495 } },
        fixtureTypes: [{ id: 'even', dimming: 'linear' }, { id: 'plain' }],
        fixtures: [
          { id: 'par', type: 'rgb-par', use: 'uplight', dim: 0.5 },
          { id: 'tube', type: 'pixel-tube', use: 'totem', dim: 0.25 },
          { id: 'own', type: 'even', use: 'uplight' },
          7,
        ],
        groups: [{ id: 'all', fixtures: ['tube', 'par'] }],
        looks: [
          {
            parts: [
              { who: [{ use: 'uplight' }], level: 0.6165, colour: '#ff0000' },
              { who: [{ fixture: 'own' }], level: 0.3598 },
            ],
          },
          { parts: [{ who: [{ fixture: 'par' }], level: 1, uv: 0.5708, attributes: { Dimmer: 0.0899, Iris: 0.5 } }] },
          { parts: [{ who: [{ group: 'all' }], level: 0, haze: 0.5 }, { who: [{ fixture: 'tube' }], level: 0 }, null] },
          { name: 'empty' },
        ],
        hits: [
          {
            parts: [
              { who: [{ all: true }], attributes: { Dimmer: 0.6165 } },
              { who: [{ fixture: 'tube' }, { fixture: 'own' }], level: 0.3598 },
            ],
          },
        ],
        chases: [{ steps: [{ fade: 0.5, parts: [{ who: [{ fixture: 'par' }], level: 'x' }] }] }],
      },
    ],
  ],
};

describe('the steps from version to version', () => {
  it('lead from 1 to the newest without a gap', () => {
    expect(steps.map(({ to }) => to)).toEqual(Array.from({ length: SHOW_VERSION - 1 }, (_, i) => i + 2));
  });

  it.each(steps.map(({ to }) => to))('do what they are for: to version %i', (to) => {
    const rows = samples[to] ?? [];
    expect(rows.length).toBeGreaterThan(0);
    for (const [before, after] of rows) {
      const untouched = JSON.stringify(before);
      expect(steps[to - 2]?.up(before).document).toEqual({ ...after, version: before.version });
      expect(JSON.stringify(before)).toBe(untouched);
      if (to === SHOW_VERSION) expect(bringUp(after).document).toBe(after);
    }
  });

  it('hand out what belongs elsewhere now', () => {
    const outputs = [{ id: 'x', protocol: 'sacn' }];
    expect(readShow({ ...smallShow(), version: 1, outputs }).outputs).toMatchObject([{ id: 'x', to: 'multicast' }]);
    expect(readShow({ ...smallShow(), version: 1 }).outputs).toBeUndefined();
    expect(() => readShow({ ...smallShow(), version: 1, outputs: [7] })).toThrow('The show has mistakes');
    expect(() => checkShow({ ...smallShow(), outputs })).toThrow('The show has mistakes');
  });

  it('say so when they fail, and change nothing', () => {
    const trap = { ...smallShow(), version: 1 };
    Object.defineProperty(trap, 'outputs', {
      enumerable: true,
      get: () => {
        throw new Error('a bug');
      },
    });
    expect(() => bringUp(trap)).toThrow(InputError);
    expect(() => bringUp(trap)).toThrow('cannot be brought from document version 1 to 2; it is left as it is');
  });
});

/** What every item of a show draws by itself, at a few instants. */
function pictures(show: Show): Record<ItemKey, number[][]> {
  const night = new Offline(show);
  const instants: Millis[] = [0, 700, 2600, 9100];
  const drawn = [...night.show.items.keys()].map((item) => {
    const entry = { id: 1, item, startedAt: START, startBeat: 0, rise: { from: 0, to: 1, at: START, duration: 500 } };
    const state = { ...night.state(0), entries: [entry] };
    return [item, instants.map((at) => [...night.frame(at, state)])] as const;
  });
  return Object.fromEntries(drawn) as Record<ItemKey, number[][]>;
}

describe.each(old)('the show $file', ({ version, name, text }) => {
  it('is of that version, and opens', () => {
    const json = JSON.parse(text);
    expect(json.version).toBe(version);
    const { show } = readShow(json);
    expect(show.version).toBe(SHOW_VERSION);
    expect(checkShow(JSON.parse(JSON.stringify(show)))).toEqual(show);
  });

  it.runIf(version < newestOld)('draws the same picture as the newest of the old ones', () => {
    const newest = old.find((other) => other.version === newestOld && other.name === name);
    expect(pictures(checkShow(JSON.parse(text)))).toEqual(pictures(checkShow(JSON.parse(newest?.text ?? ''))));
  });

  it.runIf(version === 2)('gives its dimmers the slots of that time: a level was the share of a channel', () => {
    const json = JSON.parse(text) as Show;
    const night = new Offline(checkShow(json));
    let looked = 0;
    for (const { id, parts } of json.looks) {
      const entry = {
        id: 1,
        item: `look:${id}` as const,
        startedAt: START,
        startBeat: 0,
        rise: { from: 1, to: 1, at: START, duration: 0 },
      };
      const state = { ...night.state(0), entries: [entry] };
      const levels = new Levels(night.show.rig.universes);
      Encoder.for(night.show.rig, levels).encode(Float64Array.from(night.frame(0, state)));
      for (const { id: lamp, mode, universe, address, adjust } of night.show.rig.fixtures) {
        const level = parts.findLast(({ who, level: asked }) => asked !== undefined && members(json, who).includes(lamp))?.level;
        const channel = mode.channels.find(({ functions: [first], part }) => first?.attribute === 'Dimmer' && part === undefined);
        if (level === undefined || channel === undefined) continue;
        const [coarse = 0, fine = 0] = [channel.slot, channel.fine].map((slot) =>
          slot === undefined ? 0 : (levels.slots(universe)[address + slot - 2] ?? 0),
        );
        const value = channel.fine === undefined ? coarse / 255 : (256 * coarse + fine) / 65535;
        expect(Math.abs(value - level * (adjust.dim ?? 1))).toBeLessThan(channel.fine === undefined ? 0.6 / 255 : 2e-4);
        looked++;
      }
    }
    expect(looked).toBeGreaterThan(50);
  });
});
