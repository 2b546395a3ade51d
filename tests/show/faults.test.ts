import { describe, expect, it } from 'vitest';
import { InputError } from '../../node/core/errors.ts';
import { MOST_AT_ONCE } from '../../node/core/limits.ts';
import { compileShow } from '../../node/playback/compile.ts';
import { emptyShow } from '../../node/show/empty.ts';
import { faultsOf } from '../../node/show/faults.ts';
import { checkShow, readDraft } from '../../node/show/read.ts';
import { type Spoilable, smallShow } from './small-show.ts';

const draft = (spoil: (show: Spoilable) => void) => {
  const json: Spoilable = smallShow();
  spoil(json);
  return readDraft(json).show;
};

describe('a draft', () => {
  it('may be empty, and can be played then: nothing plays', () => {
    const { show } = readDraft({ format: 'duskhand-show', version: 4, id: 'new', name: 'New', theme: { name: 'None' } });
    expect(faultsOf(show)).toEqual([]);
    const { rig, start, buttons } = compileShow(show);
    expect([rig.universes, start, buttons.size]).toEqual([[], [], 0]);
    expect(emptyShow('new', 'New')).toEqual({ ...show, theme: { ...show.theme, name: 'No theme yet' } });
  });

  it('says of each fault in which thing and which field it lies, and where in the document', () => {
    const show = draft((s) => {
      s.looks.push({ id: 'open', name: 'Open', parts: [{ who: [{ group: 'walls' }], level: 1 }] });
      s.theme.colours = [];
      s.start = [{ hit: 'boom' }];
      delete s.fixtures[1].address;
    });
    expect(faultsOf(show).map(({ message: _, ...where }) => where)).toEqual([
      { kind: 'look', id: 'warm', field: 'parts', path: 'looks[0].parts[0].colour' },
      { kind: 'look', id: 'open', field: 'parts', path: 'looks[1].parts[0].who[0].group' },
      { kind: 'show', id: 'small', field: 'start', path: 'start[0].hit' },
      { kind: 'fixture', id: 'right', field: 'address', path: 'fixtures[1].address' },
    ]);
  });

  it('without faults can be played', () => {
    const show = draft(() => undefined);
    expect(faultsOf(show)).toEqual([]);
    expect(() => compileShow(show)).not.toThrow();
  });

  it('keeps its lists in the order of their keys', () => {
    const show = draft((s) => {
      s.looks = ['c', 'a', 'b'].map((order) => ({ ...s.looks[0], id: `look-${order}`, order }));
    });
    expect(show.looks.map(({ id }) => id)).toEqual(['look-a', 'look-b', 'look-c']);
  });
});

function refusal(json: unknown): InputError {
  try {
    checkShow(json);
  } catch (error) {
    if (error instanceof InputError) return error;
    throw error;
  }
  throw new Error('was accepted');
}

/** Pars in universes of their own, so many of them to each. */
const pars = (many: number) =>
  Array.from({ length: many }, (_, i) => ({
    id: `par-${i}`,
    name: `Par ${i}`,
    type: 'rgbw-par',
    mode: '6ch',
    universe: 1 + Math.floor(i / 80),
    address: 1 + (i % 80) * 6,
    use: 'uplight',
  }));
const everybody = { who: [{ all: true }], level: 1 };
const steps = (many: number, parts: readonly object[] = [everybody]) =>
  Array.from({ length: many }, () => ({ length: { beats: 1 }, parts }));
const messages = (spoil: (show: Spoilable) => void) =>
  faultsOf(draft(spoil)).map(({ kind, id, message }) => `${kind} ${id} ${message}`);

describe('what would be too heavy', () => {
  it('is not what a large night needs: 300 lamps, 300 looks, 50 chases of 16 steps', () => {
    const heavy = messages((s) => {
      s.fixtures = [...s.fixtures, ...pars(298).map((one) => ({ ...one, universe: one.universe + 1 }))];
      s.looks = [...s.looks, ...Array.from({ length: 299 }, (_, i) => ({ id: `look-${i}`, name: 'Look', parts: [everybody] }))];
      s.chases = [...s.chases, ...Array.from({ length: 49 }, (_, i) => ({ id: `chase-${i}`, name: 'Chase', steps: steps(16) }))];
    });
    expect(heavy).toEqual([]);
  });

  it('is a chase that sets more lamps than a board can make ready', () => {
    const [heavy] = messages((s) => {
      s.fixtures = [...s.fixtures, ...pars(498).map((one) => ({ ...one, universe: one.universe + 1 }))];
      s.chases[0].steps = steps(256);
    });
    expect(heavy).toBe(
      'chase turn is too heavy: over all its parts it sets 128,000 lamps, and 100,000 is the most (a bar of eight cells counts nine)',
    );
  });

  it('is not a chase of many steps over many lamps of which each step names few', () => {
    const heavy = messages((s) => {
      s.fixtures = [...s.fixtures, ...pars(498).map((one) => ({ ...one, universe: one.universe + 1 }))];
      const two = (i: number) => [{ who: [{ fixture: `par-${2 * i}` }, { fixture: `par-${2 * i + 1}` }], level: 1 }];
      s.chases[0].steps = Array.from({ length: 249 }, (_, i) => ({ length: { beats: 1 }, parts: two(i) }));
    });
    expect(heavy).toEqual([]);
  });

  it('is a part that names everybody ten thousand times', () => {
    const [heavy] = messages((s) => {
      s.fixtures = [...s.fixtures, ...pars(98).map((one) => ({ ...one, universe: one.universe + 1 }))];
      s.looks[0].parts = [{ who: Array.from({ length: 10_000 }, () => ({ all: true })), level: 1 }];
    });
    expect(heavy).toContain('look warm is too heavy: over all its parts it sets 1,000,000 lamps');
  });

  it('is a part that names more attributes than most lamps have', () => {
    const names = ['Focus1', 'Iris', 'Frost1', 'ColorSub_C', 'ColorSub_M', 'ColorSub_Y', 'CTO', 'Gobo1PosRotate'];
    const [heavy] = messages((s) => {
      s.fixtures = [...s.fixtures, ...pars(498).map((one) => ({ ...one, universe: one.universe + 1 }))];
      s.chases[0].steps = steps(128, [{ ...everybody, attributes: Object.fromEntries(names.map((name) => [name, 0.5])) }]);
    });
    expect(heavy).toContain('chase turn is too heavy: over all its parts it sets 128,000 lamps');
  });

  it('is a show whose things are heavy together', () => {
    const heavy = messages((s) => {
      s.fixtures = pars(480);
      s.groups = [];
      s.chases = Array.from({ length: 6 }, (_, i) => ({ id: `chase-${i}`, name: 'Chase', steps: steps(200) }));
      s.movements = [];
      s.buttons = [{ id: 'warm', name: 'Warm', starts: [{ look: 'warm' }] }];
      s.moments = [];
    });
    expect(heavy).toEqual(['show small the show is too heavy: its things set 576,960 lamps together, and 400,000 is the most']);
  });

  it('is a show of which a frame might have to draw too much', () => {
    const heavy = messages((s) => {
      s.fixtures = [...s.fixtures, ...pars(1898).map((one) => ({ ...one, universe: one.universe + 1 }))];
      s.looks = [
        ...s.looks,
        ...Array.from({ length: MOST_AT_ONCE }, (_, i) => ({ id: `look-${i}`, name: 'Look', parts: [everybody] })),
      ];
    });
    expect(heavy).toEqual([
      `show small the show is too heavy: the ${MOST_AT_ONCE} largest things that may play at once draw 121,600 lamps in every frame, and 100,000 is the most`,
    ]);
  });

  it('is a rig of more slots than a frame can carry', () => {
    const heavy = messages((s) => {
      s.fixtureTypes = [
        {
          id: 'wall',
          name: 'Wall',
          modes: [{ id: 'm', name: 'M', channels: [{ slot: 512, functions: [{ attribute: 'Dimmer' }] }] }],
        },
      ];
      s.fixtures = [
        ...s.fixtures,
        ...Array.from({ length: 128 }, (_, i) => ({
          ...pars(1)[0],
          id: `wall-${i}`,
          type: 'wall',
          mode: 'm',
          universe: i + 2,
          address: 1,
        })),
      ];
    });
    expect(heavy).toEqual(['show small take 65,548 slots together; a frame has room for 65,536']);
  });
});

describe('a show of megabytes in which everything is wrong', () => {
  it('is refused within a moment even where its very shape is wrong in half a million places', () => {
    const json: Spoilable = smallShow();
    json.looks[0].parts[0].who = Array.from({ length: 600_000 }, () => ({ x: 1 }));
    const from = performance.now();
    // It took 16 s, nearly 2 GB and the call stack to list all of them.
    expect(() => checkShow(json)).toThrow(InputError);
    expect(performance.now() - from).toBeLessThan(3000);
  });

  it('is refused within a moment, with a list and a choice that can be read', () => {
    const types = Array.from({ length: 2000 }, (_, i) => ({
      id: `type-${i}`,
      name: 'x'.repeat(80),
      maker: 'y'.repeat(80),
      modes: Array.from({ length: 16 }, (_, k) => ({
        id: `m-${k}`,
        name: 'z'.repeat(60),
        channels: [{ slot: 1, functions: [{ attribute: 'Dimmer' }] }],
      })),
    }));
    const json = { ...smallShow(), fixtureTypes: types, fixtures: pars(2000).map((one) => ({ ...one, type: `lost-${one.id}` })) };
    expect(JSON.stringify(json).length).toBeGreaterThan(5e6);
    const from = performance.now();
    const { problems } = refusal(json);
    // It took 41 s and most of the memory when every message named every type.
    expect(performance.now() - from).toBeLessThan(3000);
    expect(problems.length).toBe(20);
    for (const { message } of problems) expect(message.length).toBeLessThan(300);
    expect(problems.find(({ path }) => path === 'fixtures[0].type')?.message).toMatch(
      /^there is no fixture type "lost-par-0"; known are [^…]+…$/,
    );
  });
});
