import { expect, test } from 'vitest';
import type { ForeignSource } from '../../../node/api/contract.ts';
import { talkers } from '../../../ui/src/wire/health.ts';

const source = (universe: number, more: Partial<ForeignSource> = {}): ForeignSource => ({
  protocol: 'sacn',
  universe,
  name: 'Demo sender',
  address: '192.0.2.9',
  priority: 100,
  perSecond: 40,
  meaning: 'Lights may mix both.',
  lastSeenAt: 1000,
  ...more,
});

test('one sender on several universes is told of once', () => {
  const [one, ...others] = talkers([source(3), source(1, { perSecond: 44, lastSeenAt: 900 })]);
  expect(others).toEqual([]);
  expect(one).toMatchObject({ universes: [1, 3], perSecond: 44, lastSeenAt: 1000 });
});

test('another priority, address, name or meaning is another matter', () => {
  const all = [
    source(1),
    source(2, { priority: 150 }),
    source(2, { address: '192.0.2.10' }),
    source(2, { name: 'Other' }),
    source(2, { meaning: 'It wins.' }),
  ];
  expect(talkers(all).map(({ universes }) => universes)).toEqual([[1], [2], [2], [2], [2]]);
});
