import { expect, it } from 'vitest';
import type { Show } from '../../../node/show/document.ts';
import { faultInWords } from '../../../ui/src/bench/written.ts';

const part = { who: [{ all: true }], brightness: 'best' } as const;
const looks = [
  { id: 'new', name: 'New look', parts: [] },
  { id: 'dinner', name: 'Dinner', parts: [part] },
] as unknown as Show['looks'];
const fault = (kind: 'look' | 'chase', id: string, path: string, message: string) =>
  faultInWords({ kind, id, field: 'parts', path, message }, { looks });

it('names the look that something is missing in', () => {
  expect(fault('look', 'new', 'looks[0].parts', 'does nothing yet: it has no parts')).toBe(
    '“New look” lights nothing yet: add lights to it',
  );
  expect(fault('look', 'dinner', 'looks[1].parts[0].who', 'speaks of no fixture yet')).toBe(
    '“Dinner”: parts[0].who speaks of no fixture yet',
  );
  expect(fault('chase', 'roll', 'chases[0].parts', 'does nothing yet')).toBe('chases[0].parts does nothing yet');
});

it('names the light, the group and the kind of lamp, and two lights that share a slot by what they share', () => {
  const rig = { looks, fixtures: [{ id: 'par', name: 'Par' }], groups: [{ id: 'wall', name: 'Wall' }] } as unknown as Show;
  const told = (kind: 'fixture' | 'group' | 'show', id: string, field: string, message: string) =>
    faultInWords({ kind, id, field, path: 'somewhere', message }, rig);
  expect(told('fixture', 'par', 'address', 'has no address yet')).toBe('“Par” has no address yet');
  expect(told('fixture', 'par', 'address', '"Par" and "Other" both want slot 2 of universe 1')).toBe(
    '"Par" and "Other" both want slot 2 of universe 1',
  );
  expect(told('group', 'wall', 'fixtures', 'has no fixtures yet')).toBe('“Wall” has no lights yet');
  expect(told('show', 'it', 'fixtures', 'has no fixtures yet')).toBe('There are no lights yet: add some');
});
