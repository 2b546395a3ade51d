import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { InputError } from '../../node/core/errors.ts';
import { type AskedChange, askedChange, invert, type Thing } from '../../node/show/change.ts';
import type { Show } from '../../node/show/document.ts';
import { type Accepted, applyEdit, type Refused } from '../../node/show/edit.ts';
import { inWords } from '../../node/show/edit-words.ts';
import { faultsOf } from '../../node/show/faults.ts';
import { checkShow, readDraft } from '../../node/show/read.ts';
import { type Kind, type ListKind, listKinds, listOf, topOf } from '../../node/show/things.ts';
import { demoShow } from './demo-show.ts';
import { smallShow } from './small-show.ts';

const small = readDraft(smallShow()).show;
const barn = demoShow('barn-wedding');

function accepted(show: Show, ...asked: AskedChange[]): Accepted {
  const outcome = applyEdit(show, asked);
  if ('clashes' in outcome) throw new Error(`clashed: ${JSON.stringify(outcome.clashes)}`);
  return outcome;
}
function clashesOf(show: Show, ...asked: AskedChange[]): Refused['clashes'] {
  const outcome = applyEdit(show, asked);
  return 'clashes' in outcome ? outcome.clashes : [];
}
function refused(show: Show, ...asked: AskedChange[]): InputError {
  try {
    applyEdit(show, asked);
  } catch (error) {
    if (error instanceof InputError) return error;
    throw error;
  }
  throw new Error('was accepted');
}

const set = (kind: Kind, id: string, field: string, was: unknown, now: unknown): AskedChange => ({
  do: 'set',
  kind,
  id,
  field,
  ...(was !== undefined && { was }),
  ...(now !== undefined && { now }),
});
const bytes = (show: Show): string => JSON.stringify(show);
const look = (show: Show, id: string) => show.looks.find((one) => one.id === id) as Show['looks'][number];

describe('a change of a field', () => {
  it('is made where it finds what its editor saw', () => {
    const { show, changes, inverse, touched } = accepted(small, set('look', 'warm', 'fade', 2, 5));
    expect(look(show, 'warm').fade).toBe(5);
    expect(changes).toEqual([{ do: 'set', kind: 'look', id: 'warm', field: 'fade', was: 2, now: 5 }]);
    expect(inverse).toEqual([{ do: 'set', kind: 'look', id: 'warm', field: 'fade', was: 5, now: 2 }]);
    expect(touched).toEqual([{ kind: 'look', id: 'warm' }]);
  });

  it('clashes where somebody else was first, and says what stands there', () => {
    const { show } = accepted(small, set('look', 'warm', 'fade', 2, 5));
    expect(clashesOf(show, set('look', 'warm', 'fade', 2, 7))).toEqual([
      { kind: 'look', id: 'warm', field: 'fade', was: 2, found: 5 },
    ]);
  });

  it('that is made already is accepted and does nothing', () => {
    const { show } = accepted(small, set('look', 'warm', 'fade', 2, 5));
    expect(accepted(show, set('look', 'warm', 'fade', 2, 5))).toEqual({ show, changes: [], inverse: [], touched: [] });
    expect(accepted(show, set('look', 'warm', 'fade', 2, 5)).show).toBe(show);
  });

  it('tells an absent field from one that is there', () => {
    const { show, inverse } = accepted(small, set('look', 'warm', 'fadeOut', undefined, 1));
    expect(inverse).toEqual([{ do: 'set', kind: 'look', id: 'warm', field: 'fadeOut', was: 1 }]);
    expect(accepted(show, ...inverse).show).toEqual(small);
    expect(clashesOf(show, set('look', 'warm', 'fadeOut', undefined, 4))).toEqual([
      { kind: 'look', id: 'warm', field: 'fadeOut', found: 1 },
    ]);
    expect(clashesOf(small, set('look', 'warm', 'fadeOut', null, 4))).toEqual([
      { kind: 'look', id: 'warm', field: 'fadeOut', was: null },
    ]);
  });

  it('that leaves out what has a default goes back to that', () => {
    const { show } = accepted(small, set('look', 'warm', 'fade', 2, 5));
    expect(accepted(show, set('look', 'warm', 'fade', 5, undefined)).changes).toEqual([
      { do: 'set', kind: 'look', id: 'warm', field: 'fade', was: 5, now: 2 },
    ]);
  });

  it('of the show itself and of the theme is like any other', () => {
    const { show } = accepted(
      small,
      set('show', 'small', 'tempo', 120, 96),
      set('show', 'small', 'themeName', 'Plain', 'Sage'),
      set('themeColour', 'cream', 'value', '#fff0d8', '2700 K'),
    );
    expect(show).toMatchObject({ tempo: 96, theme: { name: 'Sage', colours: [{ id: 'cream', value: '2700 K' }] } });
    expect(show.looks).toBe(small.looks);
  });

  it('of what is not there clashes', () => {
    expect(clashesOf(small, set('look', 'cold', 'fade', 2, 5))).toEqual([{ kind: 'look', id: 'cold', field: 'fade', was: 2 }]);
    expect(clashesOf(small, set('show', 'another', 'tempo', 120, 96))).toHaveLength(1);
  });
});

describe('a thing', () => {
  const cold: Thing = { id: 'cold', name: 'Cold', parts: [] };

  it('may be added unfinished, stands last, and goes again by the inverse', () => {
    const { show, changes, inverse } = accepted(small, { do: 'add', kind: 'look', id: 'cold', now: cold });
    expect(show.looks.map(({ id }) => id)).toEqual(['warm', 'cold']);
    expect(changes).toMatchObject([{ do: 'add', now: { fade: 2, unattended: false } }]);
    expect(faultsOf(show).map(({ kind, id, field }) => `${kind} ${id} ${field}`)).toEqual(['look cold parts']);
    expect(bytes(accepted(show, ...inverse).show)).toBe(bytes(small));
  });

  it('that is dropped comes back where it stood', () => {
    const [button] = barn.buttons.slice(3);
    if (button === undefined) throw new Error('no button');
    const { show, inverse } = accepted(barn, { do: 'drop', kind: 'button', id: button.id, was: button });
    expect(show.buttons).toHaveLength(barn.buttons.length - 1);
    expect(bytes(accepted(show, ...inverse).show)).toBe(bytes(barn));
  });

  it('that has changed since is not dropped, and one that is there is not added over', () => {
    const { show } = accepted(small, set('look', 'warm', 'fade', 2, 5));
    expect(clashesOf(show, { do: 'drop', kind: 'look', id: 'warm', was: look(small, 'warm') })).toHaveLength(1);
    expect(clashesOf(small, { do: 'add', kind: 'look', id: 'warm', now: { ...cold, id: 'warm' } })).toHaveLength(1);
    expect(accepted(small, { do: 'drop', kind: 'look', id: 'gone', was: cold }).show).toBe(small);
  });

  it('moves behind another or to the front, by a key of its own and no other', () => {
    const ids = (show: Show) => show.buttons.map(({ id }) => id);
    const [turn] = small.buttons.slice(1);
    const first = accepted(small, { do: 'move', kind: 'button', id: 'turn', was: turn?.order ?? '', after: null });
    expect(ids(first.show)).toEqual(['turn', 'warm']);
    expect(first.changes).toMatchObject([{ do: 'set', field: 'order' }]);
    expect(first.show.buttons[1]).toBe(small.buttons[0]);
    expect(bytes(accepted(first.show, ...first.inverse).show)).toBe(bytes(small));
    const stays = accepted(small, { do: 'move', kind: 'button', id: 'turn', was: turn?.order ?? '', after: 'warm' });
    expect(stays.show).toBe(small);
    expect(clashesOf(first.show, { do: 'move', kind: 'button', id: 'turn', was: turn?.order ?? '', after: 'warm' })).toMatchObject([
      { field: 'order' },
    ]);
    expect(clashesOf(small, { do: 'move', kind: 'button', id: 'turn', was: turn?.order ?? '', after: 'gone' })).toEqual([
      { kind: 'button', id: 'gone' },
    ]);
  });

  it('moves even among those whose keys are equal', () => {
    const tied = readDraft({ ...smallShow(), looks: ['a', 'b', 'c'].map((id) => ({ id, order: 'i', name: id, parts: [] })) }).show;
    const { show } = accepted(tied, { do: 'move', kind: 'look', id: 'a', was: 'i', after: 'b' });
    expect(show.looks.map(({ id }) => id)).toEqual(['b', 'c', 'a']);
  });
});

describe('an edit that would spoil the shape of a show', () => {
  it.each([
    ['a value out of its range', set('look', 'warm', 'fade', 2, -1), 'look:warm.fade', 'at least 0'],
    ['a field that nobody knows', set('look', 'warm', 'speed', undefined, 1), 'look:warm.speed', 'known are id, order, name'],
    ['a prototype', set('look', 'warm', '__proto__', undefined, {}), 'look:warm.__proto__', 'is not known here'],
    ['a constructor', set('show', 'small', 'constructor', undefined, {}), 'show:small.constructor', 'is not known here'],
    ['another id', set('look', 'warm', 'id', 'warm', 'cold'), 'look:warm.id', 'for life'],
    ['no order', set('look', 'warm', 'order', 'i', undefined), 'look:warm.order', 'cannot be left out'],
    ['a name left out', set('look', 'warm', 'name', 'Warm', undefined), 'look:warm.name', 'must be text'],
    [
      'a prototype inside',
      set('show', 'small', 'masters', { all: 1, groups: {} }, JSON.parse('{"all": 1, "groups": {"__proto__": 1}}')),
      'show:small.masters.groups.__proto__',
      'is no id',
    ],
    [
      'a thing that goes by two ids',
      { do: 'add', kind: 'look', id: 'cold', now: { id: 'colder', name: 'Cold', parts: [] } },
      'look:cold.id',
      'must be "cold"',
    ],
  ] as const satisfies readonly (readonly [string, AskedChange, string, string])[])(
    'is refused with where and why: %s',
    (_what, change, path, says) => {
      const problem = refused(small, change).problems.find((one) => one.path === path);
      expect(problem?.message).toContain(says);
      expect(Object.prototype).not.toHaveProperty('demo');
    },
  );

  it('is refused when a list grows beyond its bounds', () => {
    const adds = Array.from(
      { length: 32 },
      (_, i): AskedChange => ({
        do: 'add',
        kind: 'themeColour',
        id: `c${i}`,
        now: { id: `c${i}`, name: 'C', value: '#ffffff' },
      }),
    );
    expect(refused(small, ...adds).problems).toEqual([{ path: 'theme.colours', message: 'must have at most 32 entries' }]);
  });

  it('cannot be asked for in words that are none', () => {
    for (const odd of [
      {},
      { do: 'jump' },
      { do: 'move', kind: 'fixtureType', id: 'x', was: 'i', after: null },
      { do: 'add', kind: 'show', id: 'x', now: { id: 'x' } },
    ])
      expect(askedChange.safeParse(odd).success).toBe(false);
    const change = set('look', 'warm', 'fadeOut', undefined, null);
    expect(Object.keys(askedChange.parse(JSON.parse(JSON.stringify(change))))).toEqual(['do', 'kind', 'id', 'field', 'now']);
  });
});

/** Values that a field may take, by kind. */
const values: Readonly<Partial<Record<Kind, Readonly<Record<string, readonly unknown[]>>>>> = {
  show: { tempo: [90, 128], notes: ['', 'Rain'], themeName: ['Sage', 'Plain'], start: [[], [{ look: 'warm' }]] },
  themeColour: { value: ['#102030', '2700 K'], name: ['Cream', 'Moss'] },
  fixture: { address: [undefined, 1, 40], name: ['Left', 'L'], dim: [undefined, 0.5] },
  group: { fixtures: [[], ['left'], ['left', 'right']] },
  look: {
    fade: [0, 2, 9],
    fadeOut: [undefined, 3],
    parts: [[], [{ who: [{ all: true }], brightness: 'best', level: 1 }]],
    stay: [true, false],
  },
  chase: { steps: [[]], fade: [0, 1] },
  button: { starts: [[], [{ look: 'warm' }]], alone: [true, false], line: ['', 'Warm light'] },
  moment: { at: [undefined, '21:30'], starts: [[], [{ look: 'warm' }]], buttons: [[], ['warm']] },
};

/** Something that an editor who sees the show as it is may ask: a kind, a thing and a field by the numbers given. */
function askOf(show: Show, [what, which, how, then]: readonly [number, number, number, number]): AskedChange {
  const kind = (['look', 'button', 'fixture', 'themeColour', 'group', 'chase', 'moment', 'show'] as const)[what % 8] as Kind;
  const things: readonly Thing[] = kind === 'show' ? [topOf(show)] : listOf(show, kind);
  const thing = things[which % Math.max(1, things.length)];
  if (kind !== 'show' && (thing === undefined || how % 6 === 0)) {
    const id = `new-${then % 4}`;
    if (things.some((one) => one.id === id)) return dropOf(kind, things.find((one) => one.id === id) as Thing);
    const { order: _, ...like } = (thing ?? { id, name: 'New', ...bare(kind) }) as Thing;
    return { do: 'add', kind, id, now: { ...like, id } };
  }
  if (thing === undefined) throw new Error('a show is always there');
  if (kind !== 'show' && how % 6 === 1) return dropOf(kind, thing);
  if (kind !== 'show' && how % 6 === 2) {
    const other = things[then % things.length];
    return {
      do: 'move',
      kind,
      id: thing.id,
      was: String(thing.order),
      after: other === undefined || other === thing ? null : other.id,
    };
  }
  const fields = Object.entries(values[kind] ?? {});
  const [field, all] = fields[how % fields.length] as (typeof fields)[number];
  return set(kind, thing.id, field, thing[field], all[then % all.length]);
}
const dropOf = (kind: ListKind, thing: Thing): AskedChange => ({ do: 'drop', kind, id: thing.id, was: thing });
const bare = (kind: ListKind): object =>
  ({
    look: { parts: [] },
    button: { starts: [] },
    fixture: { type: 'dimmer', mode: '1ch', use: 'uplight' },
    themeColour: { value: '#ffffff' },
    group: { fixtures: [] },
    chase: { steps: [] },
  })[kind as string] ?? {};

const numbers = fc.tuple(fc.nat(200), fc.nat(200), fc.nat(200), fc.nat(200));
const night = fc.tuple(
  fc.constantFrom(small, barn),
  fc.array(fc.array(numbers, { minLength: 1, maxLength: 4 }), { minLength: 1, maxLength: 5 }),
);

/** Each edit is asked by somebody who sees the show as it is after all before it. */
function play(start: Show, edits: readonly (readonly Parameters<typeof askOf>[1][])[]): { asked: AskedChange[]; done: Accepted }[] {
  let show = start;
  return edits.map((of) => {
    let seen = show;
    const asked = of.map((one) => {
      const ask = askOf(seen, one);
      seen = accepted(seen, ask).show;
      return ask;
    });
    const done = accepted(show, ...asked);
    show = done.show;
    return { asked, done };
  });
}

function freeze<T>(value: T): T {
  if (typeof value === 'object' && value !== null && !Object.isFrozen(value)) {
    Object.freeze(value);
    for (const inner of Object.values(value)) freeze(inner);
  }
  return value;
}

describe('any edits', () => {
  freeze(small);
  freeze(barn);

  it('leave a draft that reads back as the same bytes', () => {
    fc.assert(
      fc.property(night, ([start, edits]) => {
        const last = play(start, edits).at(-1)?.done.show ?? start;
        expect(bytes(readDraft(JSON.parse(bytes(last))).show)).toBe(bytes(last));
        expect(() => faultsOf(last)).not.toThrow();
      }),
      { numRuns: 60 },
    );
  });

  it('and their inverses, newest first, give the first bytes back', () => {
    fc.assert(
      fc.property(night, ([start, edits]) => {
        const done = play(start, edits).map((one) => one.done);
        const last = done.at(-1)?.show ?? start;
        // By way of the store: as JSON.
        const undone = [...done]
          .reverse()
          .reduce((show, { inverse }) => accepted(show, ...JSON.parse(JSON.stringify(inverse))).show, last);
        expect(bytes(undone)).toBe(bytes(start));
        const redone = done.reduce((show, { changes }) => accepted(show, ...JSON.parse(JSON.stringify(changes))).show, undone);
        expect(bytes(redone)).toBe(bytes(last));
        for (const { changes, inverse } of done) {
          expect(invert(changes)).toEqual(inverse);
          expect(invert(inverse)).toEqual(changes);
        }
      }),
      { numRuns: 60 },
    );
  });

  it('in one are as good as one after the other, and are no more than what has really changed', () => {
    fc.assert(
      fc.property(night, ([start, edits]) => {
        const row = play(start, edits);
        const last = row.at(-1)?.done.show ?? start;
        const once = accepted(start, ...(row.flatMap(({ done }) => done.changes) as AskedChange[]));
        expect(bytes(once.show)).toBe(bytes(last));
        expect(bytes(accepted(last, ...(once.inverse as AskedChange[])).show)).toBe(bytes(start));
        const named = once.changes.map((change) => `${change.kind} ${change.id} ${change.do === 'set' ? change.field : ''}`);
        expect(new Set(named).size).toBe(named.length);
      }),
      { numRuns: 60 },
    );
  });

  it('keep all that they do not touch as the very same objects, and change nothing that they were given', () => {
    fc.assert(
      fc.property(night, ([start, edits]) => {
        const asked = freeze(play(start, edits).flatMap((one) => one.asked));
        // The show is frozen too: whoever wrote into either would throw.
        const { show, touched } = accepted(start, ...asked);
        const keys = new Set(touched.map(({ kind, id }) => `${kind}:${id}`));
        for (const kind of listKinds) {
          const before = new Map(listOf(start, kind).map((one) => [one.id, one] as const));
          for (const one of listOf(show, kind)) if (!keys.has(`${kind}:${one.id}`)) expect(one).toBe(before.get(one.id));
          if (!touched.some((one) => one.kind === kind)) expect(listOf(show, kind)).toBe(listOf(start, kind));
        }
      }),
      { numRuns: 60 },
    );
  });

  it('do not hold on to what they were given', () => {
    const parts = [{ who: [{ all: true }], level: 1 }];
    const { show } = accepted(small, set('look', 'warm', 'parts', look(small, 'warm').parts, parts));
    const before = bytes(show);
    parts[0]?.who.pop();
    expect(bytes(show)).toBe(before);
  });

  it('of two editors on different fields come to the same, whoever is first', () => {
    const mine = set('look', 'warm', 'fade', 2, 5);
    const yours = set('look', 'warm', 'name', 'Warm', 'Warmer');
    expect(bytes(accepted(accepted(small, mine).show, yours).show)).toBe(bytes(accepted(accepted(small, yours).show, mine).show));
  });

  it('of which one part clashes leave no trace', () => {
    const good = set('look', 'warm', 'fade', 2, 5);
    const bad = set('look', 'warm', 'name', 'Wrong', 'Warmer');
    expect(applyEdit(small, [good, bad])).toEqual({
      clashes: [{ kind: 'look', id: 'warm', field: 'name', was: 'Wrong', found: 'Warm' }],
    });
  });
});

describe('an edit in words', () => {
  const says = (...asked: AskedChange[]): string => {
    const { show, changes } = accepted(small, ...asked);
    return inWords(changes, show);
  };
  const parts = look(small, 'warm').parts;
  const other = parts.map((part) => ({ ...part, colour: '#102030' }));

  it.each([
    ['colour of Warm', [set('look', 'warm', 'parts', parts, other)]],
    ['lights of Warm', [set('look', 'warm', 'parts', parts, [])]],
    ['fade and fade out of Warm', [set('look', 'warm', 'fade', 2, 5), set('look', 'warm', 'fadeOut', undefined, 5)]],
    ['name of Cosy', [set('look', 'warm', 'name', 'Warm', 'Cosy')]],
    ['tempo of the show', [set('show', 'small', 'tempo', 120, 96)]],
    ['new look Cold', [{ do: 'add', kind: 'look', id: 'cold', now: { id: 'cold', name: 'Cold', parts: [] } }]],
    ['hit Flash taken out', [{ do: 'drop', kind: 'hit', id: 'flash', was: small.hits[0] as Thing }]],
    ['place of Turn', [{ do: 'move', kind: 'button', id: 'turn', was: small.buttons[1]?.order ?? '', after: null }]],
    [
      '12 new lights; fade of Warm',
      [
        ...Array.from({ length: 12 }, (_, i): AskedChange => {
          const now = { id: `new-${i}`, name: `New ${i}`, type: 'rgb-par', mode: '3ch', use: 'uplight' };
          return { do: 'add', kind: 'fixture', id: now.id, now };
        }),
        set('look', 'warm', 'fade', 2, 5),
      ],
    ],
    [
      'light Left taken out; light Right taken out',
      small.fixtures.map((was): AskedChange => ({ do: 'drop', kind: 'fixture', id: was.id, was: was as Thing })),
    ],
    [
      'colour of Cream; fade of Warm; fade of Turn; and 1 more',
      [
        set('themeColour', 'cream', 'value', '#fff0d8', '2700 K'),
        set('look', 'warm', 'fade', 2, 5),
        set('chase', 'turn', 'fade', 2, 5),
        set('hit', 'flash', 'fade', 0, 1),
      ],
    ],
  ] as readonly (readonly [string, AskedChange[]])[])('is "%s"', (words, asked) => {
    expect(says(...asked)).toBe(words);
  });
});

describe('a large show', () => {
  it('is edited and checked in a few milliseconds', () => {
    const parts = [{ who: [{ all: true }], level: 1, colour: ['#ff0000', '#00ff00'] }];
    const large = checkShow({
      ...smallShow(),
      looks: [...smallShow().looks, ...Array.from({ length: 300 }, (_, i) => ({ id: `look-${i}`, name: `Look ${i}`, parts }))],
    });
    const times = Array.from({ length: 9 }, (_, i) => {
      const from = performance.now();
      faultsOf(accepted(large, set('look', 'look-7', 'fade', 2, 3 + i)).show);
      return performance.now() - from;
    });
    expect(times.sort((a, b) => a - b)[4]).toBeLessThan(20);
  });
});
