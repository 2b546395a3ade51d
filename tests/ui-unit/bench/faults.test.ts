import { describe, expect, it } from 'vitest';
import { faultsOf } from '../../../node/show/faults.ts';
import { faultInWords } from '../../../ui/src/bench/written.ts';
import { hall } from './hall.ts';

/** What is said of a show that is the hall but for this. */
function said(more: object): string[] {
  const show = hall(more);
  return faultsOf(show).map((fault) => faultInWords(fault, show));
}
const all = [{ all: true }];
const look = (parts: object[]) => ({ looks: [{ id: 'dinner', name: 'Dinner', parts }] });
const beat = { beats: 1 };
const chase = (steps: object[]) => ({ chases: [{ id: 'run', name: 'Run', steps }] });

describe('What keeps a show from being played is told by the name of the thing', () => {
  it.each([
    [look([]), '“Dinner” lights nothing yet: add lights to it'],
    [look([{ who: [] }]), '“Dinner” has a part without lights: choose them, or take it out'],
    [look([{ who: [{ group: 'left' }, { group: 'balcony' }] }]), '“Dinner” names a group that is gone: choose others'],
    [look([{ who: [{ fixture: 'gone' }] }]), '“Dinner” names a light that is gone: choose others'],
    [look([{ who: [{ use: 'laser' }] }]), '“Dinner” names lasers, of which there are none: choose others'],
    [look([{ who: all, colour: 'theme:mauve' }]), '“Dinner” names a colour that is no more in the theme (mauve): choose another'],
    [chase([]), '“Run” has no steps yet: add two'],
    [chase([{ length: beat, parts: [{ who: all }] }]), '“Run” needs a second step to go to'],
    [
      chase([
        { length: beat, parts: [{ who: all }] },
        { length: { seconds: 1 }, parts: [{ who: all }] },
      ]),
      '“Run”: some steps count beats and some seconds',
    ],
    [
      chase([
        { length: beat, parts: [{ who: all }] },
        { length: beat, parts: [] },
      ]),
      '“Run”, step 2 lights nothing yet: add lights to it',
    ],
    [
      chase([
        { length: beat, parts: [{ who: all }] },
        { length: beat, parts: [{ who: all }, { who: [{ group: 'balcony' }] }] },
      ]),
      '“Run”, step 2 names a group that is gone: choose others',
    ],
    [
      { movements: [{ id: 'round', name: 'Round', who: [], figure: 'circle', size: { pan: 1, tilt: 1 }, period: beat }] },
      '“Round” moves nothing yet: choose its lights',
    ],
    [{ hits: [{ id: 'flash', name: 'Flash', parts: [] }] }, '“Flash” lights nothing yet: add lights to it'],
    [{ buttons: [{ id: 'dinner', name: 'Dinner', starts: [] }] }, '“Dinner” starts nothing yet: choose what it starts'],
    [
      { buttons: [{ id: 'dinner', name: 'Dinner', starts: [{ look: 'dinner' }, { chase: 'gone' }] }] },
      '“Dinner” starts a chase that is gone: take it out',
    ],
    [
      { buttons: [{ id: 'dinner', name: 'Dinner', starts: [{ look: 'dinner' }], stops: [{ movement: 'gone' }] }] },
      '“Dinner” lets go of a movement that is gone: take it out',
    ],
    [
      {
        buttons: [
          { id: 'dinner', name: 'Dinner', starts: [{ look: 'dinner' }] },
          { id: 'other', name: 'dinner', starts: [{ look: 'dinner' }] },
        ],
      },
      'Two buttons are called “dinner”: a thumb could not tell them apart',
    ],
    [{ moments: [{ id: 'late', name: 'Late', buttons: ['gone'] }] }, '“Late” names a button that is gone: take it out'],
    [{ start: [{ look: 'gone' }] }, 'The show starts with something that is gone'],
    [{ fallback: { look: 'gone' } }, 'What comes without a phone is a look that is gone'],
  ])('%#: %s', (more, words) => expect(said(more)).toEqual([words]));

  it('and never by a path, whatever is missing', () => {
    for (const words of said({
      buttons: [],
      ...look([]),
      ...chase([]),
      moments: [{ id: 'late', name: 'Late', buttons: ['gone'] }],
    }))
      expect(words).not.toMatch(/\[\d|\w\.\w|fixture/);
  });
});

it('names the light, the group and the kind of lamp, and two lights that share a slot by what they share', () => {
  const hallOf = hall();
  const [one] = hallOf.fixtures;
  const rig = { ...hallOf, fixtures: one === undefined ? [] : [{ ...one, id: 'par', name: 'Par' }] };
  const told = (kind: 'fixture' | 'group', id: string, field: string, message: string) =>
    faultInWords({ kind, id, field, path: 'somewhere', message }, rig);
  expect(told('fixture', 'par', 'address', 'has no address yet')).toBe('“Par” has no address yet');
  expect(told('fixture', 'par', 'address', '"Par" and "Other" both want slot 2 of universe 1')).toBe(
    '"Par" and "Other" both want slot 2 of universe 1',
  );
  expect(told('group', 'left', 'fixtures', 'has no fixtures yet')).toBe('“Left side” has no lights yet');
});
