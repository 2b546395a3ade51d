import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { AskedChange } from '../../node/show/change.ts';
import { invert } from '../../node/show/change.ts';
import type { Show } from '../../node/show/document.ts';
import { applyEdit } from '../../node/show/edit.ts';
import { faultsOf } from '../../node/show/faults.ts';
import { checkShow, parseJson } from '../../node/show/read.ts';
import { type Gone, mentionsOf, takeOut } from '../../node/show/take-out.ts';
import { demoNames, demoText } from './demo-show.ts';
import { smallShow } from './small-show.ts';

const small = checkShow(smallShow());
const shows = [small, ...demoNames.map((name) => checkShow(parseJson(demoText(name))))];

function without(show: Show, gone: readonly Gone[]) {
  const done = applyEdit(show, takeOut(show, gone));
  if ('clashes' in done) throw new Error(JSON.stringify(done.clashes));
  return done;
}

const lists = {
  fixture: 'fixtures',
  group: 'groups',
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
        fc.constantFrom(...shows).chain((show) => fc.tuple(fc.constant(show), anyGone(show))),
        ([show, gone]) => {
          const { show: after, inverse } = without(show, gone);
          // By the checks that keep a show from being played: nothing that is named is missing.
          const names = faultsOf(after).filter(({ message }) => /^there is no |^no fixture has the use/.test(message));
          expect(names).toEqual([]);
          for (const { kind, id } of gone) expect(after[lists[kind]].some((one) => one.id === id)).toBe(false);
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
      mentionsOf(small, gone).map(({ kind, name, emptied }) => `${kind} ${name}${emptied ? ', emptied' : ''}`);
    expect(told({ kind: 'fixture', id: 'left' })).toEqual(['group Both', 'chase Turn']);
    expect(told({ kind: 'fixture', id: 'left' }, { kind: 'fixture', id: 'right' })).toEqual([
      'group Both, emptied',
      'look Warm, emptied',
      'chase Turn',
    ]);
    expect(told({ kind: 'look', id: 'warm' })).toEqual(['button Warm, emptied', 'show Small']);
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
});
