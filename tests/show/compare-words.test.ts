import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { AskedChange } from '../../node/show/change.ts';
import { changesBetween } from '../../node/show/compare.ts';
import { comparedInWords, sinceThen } from '../../node/show/compare-words.ts';
import type { Show } from '../../node/show/document.ts';
import { applyEdit } from '../../node/show/edit.ts';
import { readDraft } from '../../node/show/read.ts';
import { takingOut } from '../../node/show/take-out.ts';
import { demoShow } from './demo-show.ts';
import { smallShow } from './small-show.ts';

const then = readDraft(smallShow()).show;
const changed = (show: Show, ...changes: readonly AskedChange[]): Show => {
  const done = applyEdit(show, changes);
  if ('clashes' in done) throw new Error('clashed');
  return done.show;
};
const set = (kind: 'look' | 'show' | 'themeColour', id: string, field: string, was: unknown, now: unknown): AskedChange => ({
  ...{ do: 'set', kind, id, field, was, now },
});
const parts = then.looks[0]?.parts ?? [];

describe('Two states of a show in words', () => {
  it('say nothing where they say the same', () => {
    expect(comparedInWords(then, then)).toEqual([]);
    expect(comparedInWords(then, readDraft(smallShow()).show)).toEqual([]);
  });

  it('say what of which thing has changed, and how it was called then', () => {
    const now = changed(
      then,
      set('look', 'warm', 'name', 'Warm', 'Dinner'),
      set('look', 'warm', 'parts', parts, [{ ...parts[0], colour: '#ff0000' }]),
      set('show', 'small', 'tempo', 120, 99),
    );
    expect(comparedInWords(then, now)).toEqual([
      '1 look has changed since: Dinner, then called Warm – name and colour',
      'Of the show itself has changed since: tempo',
    ]);
  });

  it('say what was not there yet, and what has been taken out since', () => {
    const lamp = { name: 'Par', type: 'rgb-par', mode: '3ch', use: 'uplight' };
    const more = changed(
      then,
      { do: 'add', kind: 'fixture', id: 'a', now: { id: 'a', ...lamp, name: 'Par 3' } },
      { do: 'add', kind: 'fixture', id: 'b', now: { id: 'b', ...lamp, name: 'Par 4' } },
    );
    expect(comparedInWords(then, more)).toEqual(['2 lights were not there yet: Par 3 and Par 4']);
    const { changes } = takingOut(then, [{ kind: 'chase', id: 'turn' }]);
    const words = comparedInWords(then, changed(then, ...changes));
    expect(words).toContain('1 chase has been taken out since: Turn');
    expect(words).toContain('2 buttons have changed since: Warm – stop; Turn – start');
    // Seen the other way round.
    expect(comparedInWords(changed(then, ...changes), then)).toContain('1 chase was not there yet: Turn');
  });

  it('name a few of many', () => {
    const barn = demoShow('barn-wedding');
    const { changes } = takingOut(
      barn,
      barn.looks.map(({ id }) => ({ kind: 'look', id })),
    );
    const [words = ''] = comparedInWords(barn, changed(barn, ...changes)).filter((one) =>
      one.includes('looks have been taken out'),
    );
    expect(words).toContain(` and ${barn.looks.length - 5} more`);
  });

  it('speak of every thing that differs, once', () => {
    const ids = then.looks.map(({ id }) => id);
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 100 }), fc.constantFrom(...ids), (fade, id) => {
        const was = then.looks.find((one) => one.id === id)?.fade;
        const now = changed(then, set('look', id, 'fade', was, fade));
        const differing = new Set(changesBetween(then, now).map((one) => `${one.kind}:${one.id}`));
        expect(sinceThen(then, now).map((one) => `${one.kind}:${one.id}`)).toEqual([...differing]);
        expect(comparedInWords(then, now)).toHaveLength(differing.size);
      }),
    );
  });
});
