import { describe, expect, it } from 'vitest';
import { itemKey, itemKinds, type Show } from '../../node/show/document.ts';
import { type Accepted, applyEdit } from '../../node/show/edit.ts';
import { inWords } from '../../node/show/edit-words.ts';
import { faultsOf } from '../../node/show/faults.ts';
import { readDraft } from '../../node/show/read.ts';
import { type TakingOut, takeOutButton, takeOutItem, takeOutMoment } from '../../node/show/take-out-item.ts';
import { listOf } from '../../node/show/things.ts';
import { demoNames, demoShow } from './demo-show.ts';
import { smallShow } from './small-show.ts';

const small = readDraft(smallShow()).show;

function done(show: Show, { changes }: TakingOut): Accepted {
  const outcome = applyEdit(show, changes);
  if ('clashes' in outcome) throw new Error(JSON.stringify(outcome.clashes));
  return outcome;
}

describe('An item that is taken out', () => {
  it('goes from every button, and a button with nothing else to start goes with it, and from the moments', () => {
    const taking = takeOutItem(small, 'look', 'warm');
    const { show, changes } = done(small, taking);
    expect(show.buttons.map(({ id }) => id)).toEqual(['turn']);
    expect(show.moments[0]?.buttons).toEqual(['turn']);
    expect(show.start).toEqual([]);
    expect(inWords(changes, show)).toMatch(/^look Warm taken out; button Warm taken out; /);
    expect(taking.also).toEqual([
      'the button Warm, with nothing else to start, goes too',
      'the moment All night loses a button',
      'the show starts without it',
    ]);
  });

  it('leaves a button that starts something else, and is no more in what another stops', () => {
    const taking = takeOutItem(small, 'chase', 'turn');
    const { show } = done(small, taking);
    expect(show.buttons.find(({ id }) => id === 'turn')?.starts).toEqual([{ movement: 'nod' }]);
    expect(show.buttons.find(({ id }) => id === 'warm')?.stops).toEqual([]);
    expect(taking.also).toEqual(['the button Warm does without it', 'the button Turn does without it']);
  });

  it('is no fallback any more: then it is a blackout, and that is said', () => {
    const show: Show = { ...small, fallback: { look: 'warm' } };
    const taking = takeOutItem(show, 'look', 'warm');
    expect(done(show, taking).show.fallback).toBe('blackout');
    expect(taking.also).toContain('without a phone the room goes dark instead of coming to it');
  });

  it.each(demoNames)('leaves nothing in %s that leads nowhere, and one step brings all of it back', (name) => {
    const show = demoShow(name);
    for (const kind of itemKinds)
      for (const { id } of listOf(show, kind)) {
        const { show: without, inverse } = done(show, takeOutItem(show, kind, id));
        expect(faultsOf(without)).toEqual([]);
        const mentions = JSON.stringify([without.buttons, without.moments, without.start, without.fallback]);
        expect(mentions).not.toContain(JSON.stringify({ [kind]: id }));
        expect(done(without, { changes: inverse as TakingOut['changes'], also: [] }).show).toEqual(show);
      }
  });

  it('that is not there changes nothing', () => {
    expect(takeOutItem(small, 'look', 'gone')).toEqual({ changes: [], also: [] });
    expect(takeOutButton(small, 'gone')).toEqual({ changes: [], also: [] });
    expect(takeOutMoment(small, 'gone')).toEqual({ changes: [], also: [] });
  });
});

it('A button that is taken out is in no moment any more; what it started stays', () => {
  const taking = takeOutButton(small, 'turn');
  const { show } = done(small, taking);
  expect(show.moments[0]?.buttons).toEqual(['warm']);
  expect(show.chases.map((ref) => itemKey({ chase: ref.id }))).toEqual(['chase:turn']);
  expect(taking.also).toEqual(['the moment All night loses a button']);
});

it('A moment that is taken out leaves its buttons', () => {
  const { show } = done(small, takeOutMoment(small, 'all-night'));
  expect(show.moments).toEqual([]);
  expect(show.buttons).toHaveLength(2);
});
