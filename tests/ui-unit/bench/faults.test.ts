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
