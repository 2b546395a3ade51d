import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { AskedChange } from '../../node/show/change.ts';
import { invert } from '../../node/show/change.ts';
import { itemKinds, type Show } from '../../node/show/document.ts';
import { applyEdit } from '../../node/show/edit.ts';
import { inWords } from '../../node/show/edit-words.ts';
import { faultsOf } from '../../node/show/faults.ts';
import { checkShow, parseJson } from '../../node/show/read.ts';
import { type Gone, takingOut } from '../../node/show/take-out.ts';
import { listOf } from '../../node/show/things.ts';
import { demoNames, demoShow, demoText } from './demo-show.ts';
import { smallShow } from './small-show.ts';

const small = checkShow(smallShow());
const shows = [small, ...demoNames.map((name) => checkShow(parseJson(demoText(name))))];

function without(show: Show, gone: readonly Gone[]) {
  const done = applyEdit(show, takingOut(show, gone).changes);
  if ('clashes' in done) throw new Error(JSON.stringify(done.clashes));
  return done;
}

/** A show with places that are aimed at: by what has angles besides, and by what has none. */
const aiming: Show = {
  ...small,
  landmarks: [
    { id: 'cake', order: 'i', name: 'Cake', x: 1, y: 2, z: 1 },
    { id: 'floor', order: 'r', name: 'Floor', x: 4, y: 4, z: 0, area: { width: 4, depth: 3, turned: 0 } },
  ],
  looks: small.looks.map((look) => ({
    ...look,
    parts: [
      { who: [{ all: true }], brightness: 'best', aim: { landmark: 'cake', angles: { pan: 10, tilt: 20 } }, focus: true },
      { who: [{ all: true }], brightness: 'best', level: 1, aim: { landmark: 'floor', deal: 'row' } },
    ],
  })),
  movements: small.movements.map((movement) => ({ ...movement, aim: { landmark: 'floor' } })),
};

const lists = {
  fixture: 'fixtures',
  group: 'groups',
  landmark: 'landmarks',
  button: 'buttons',
  look: 'looks',
  chase: 'chases',
  movement: 'movements',
  hit: 'hits',
} as const;
const kinds = Object.keys(lists) as (keyof typeof lists)[];

/** Some things of a show, of any kind that others speak of. */
const anyGone = (show: Show): fc.Arbitrary<Gone[]> =>
  fc.subarray(
    kinds.flatMap((kind) => show[lists[kind]].map(({ id }): Gone => ({ kind, id }))),
    { minLength: 1 },
  );

describe('Things that are taken out', () => {
  it('leave no word of them behind, and come back with all that spoke of them by the way back', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...shows, aiming).chain((show) => fc.tuple(fc.constant(show), anyGone(show))),
        ([show, gone]) => {
          const { show: after, inverse } = without(show, gone);
          // By the checks that keep a show from being played: nothing that is named is missing.
          const names = faultsOf(after).filter(({ message }) => /^there is no |^no fixture has the use/.test(message));
          expect(names).toEqual([]);
          for (const { kind, id } of gone) expect(listOf(after, kind).some((one) => one.id === id)).toBe(false);
          const back = applyEdit(after, inverse as AskedChange[]);
          expect('show' in back && back.show).toEqual(show);
          expect(invert(inverse)).toHaveLength(inverse.length);
        },
      ),
      { numRuns: 200 },
    );
  });

  it('change nothing of what does not speak of them: those are the same objects', () => {
    const { show } = without(small, [{ kind: 'fixture', id: 'left' }]);
    expect(show.looks[0]).toBe(small.looks[0]);
    expect(show.hits[0]).toBe(small.hits[0]);
    expect(show.groups[0]?.fixtures).toEqual(['right']);
    // The step over it alone goes.
    expect(show.chases[0]?.steps).toHaveLength(1);
  });

  it('take the word about a use along with its last light', () => {
    const { show } = without(small, [
      { kind: 'fixture', id: 'left' },
      { kind: 'fixture', id: 'right' },
    ]);
    expect(show.looks[0]?.parts).toEqual([]);
    expect(show.hits[0]?.parts).toHaveLength(1);
  });

  it('are told beforehand by the names of what speaks of them, and what is left with nothing', () => {
    const told = (...gone: Gone[]) =>
      takingOut(small, gone).mentions.map(({ kind, name, what }) => `${kind} ${name}${what === 'without' ? '' : `, ${what}`}`);
    expect(told({ kind: 'fixture', id: 'left' })).toEqual(['group Both', 'chase Turn']);
    expect(told({ kind: 'fixture', id: 'left' }, { kind: 'fixture', id: 'right' })).toEqual([
      'group Both, emptied',
      'look Warm, emptied',
      'chase Turn',
    ]);
    expect(told({ kind: 'look', id: 'warm' })).toEqual(['button Warm, goes', 'moment All night', 'show Small']);
    expect(told({ kind: 'fixture', id: 'nobody' })).toEqual([]);
  });

  it('are forgotten by the masters and by what the room falls back to', () => {
    const show: Show = { ...small, masters: { all: 1, groups: { both: 0.5 } }, fallback: { look: 'warm' } };
    const { show: after } = without(show, [
      { kind: 'group', id: 'both' },
      { kind: 'look', id: 'warm' },
    ]);
    expect(after.masters.groups).toEqual({});
    expect(after.fallback).toBe('blackout');
    expect(after.start).toEqual([]);
  });

  it('take a button along that has nothing else to start, out of the moments too, and are told of first', () => {
    const { show, changes } = without(small, [{ kind: 'look', id: 'warm' }]);
    expect(show.buttons.map(({ id }) => id)).toEqual(['turn']);
    expect(show.moments[0]?.buttons).toEqual(['turn']);
    expect(show.start).toEqual([]);
    expect(inWords(changes, show)).toMatch(/^look Warm taken out; button Warm taken out; /);
  });

  it('leave a button that starts something else, and are no more in what another stops', () => {
    const { show } = without(small, [{ kind: 'chase', id: 'turn' }]);
    expect(show.buttons.find(({ id }) => id === 'turn')?.starts).toEqual([{ movement: 'nod' }]);
    expect(show.buttons.find(({ id }) => id === 'warm')?.stops).toEqual([]);
  });

  it('leave what a button started, and the buttons of a moment', () => {
    const button = without(small, [{ kind: 'button', id: 'turn' }]).show;
    expect(button.moments[0]?.buttons).toEqual(['warm']);
    expect(button.chases.map(({ id }) => id)).toEqual(['turn']);
    const moment = without(small, [{ kind: 'moment', id: 'all-night' }]).show;
    expect(moment.moments).toEqual([]);
    expect(moment.buttons).toHaveLength(2);
  });

  it.each(demoNames)('item by item leave nothing in %s that keeps it from being played', (name) => {
    const show = demoShow(name);
    for (const kind of itemKinds)
      for (const { id } of show[lists[kind]]) expect(faultsOf(without(show, [{ kind, id }]).show), `${kind} ${id}`).toEqual([]);
  });

  it('that are not there change nothing', () => {
    for (const kind of kinds) expect(takingOut(small, [{ kind, id: 'gone' }])).toEqual({ changes: [], mentions: [] });
  });

  it('of the room leave heads to their angles, or to what plays below, and nothing that was meant to rest there', () => {
    const cake = without(aiming, [{ kind: 'landmark', id: 'cake' }]).show.looks[0]?.parts;
    expect(cake?.[0]).toEqual({ who: [{ all: true }], brightness: 'best', aim: { pan: 10, tilt: 20 } });
    expect(cake?.[1]?.aim).toEqual({ landmark: 'floor', deal: 'row' });
    const { show } = without(aiming, [{ kind: 'landmark', id: 'floor' }]);
    expect(show.looks[0]?.parts[1]).toEqual({ who: [{ all: true }], brightness: 'best', level: 1 });
    expect(show.looks[0]?.parts[0]?.focus).toBe(true);
    expect(show.movements.some((movement) => 'aim' in movement)).toBe(false);
  });
});
