import { expect, test } from 'vitest';
import type { HeardAnswer, HeardSender } from '../../../node/api/edit-contract.ts';
import { withStopped } from '../../../ui/src/bench/looks/stopped.ts';

const sender = (id: string, ago: number): HeardSender => ({
  ...{ id, protocol: 'sacn', name: id, address: '10.0.0.9', universes: [1], perSecond: 40, ago, lights: 3, outranked: [1] },
});
const answer = (...senders: HeardSender[]): HeardAnswer => ({
  ...{ senders, previews: [], universes: [1], sacnOnly: [], lights: 3, address: '10.0.0.2' },
});

test('A controller that has stopped stays in the list for a while, behind the others, with how long ago that is', () => {
  const both = answer(sender('desk', 20), sender('band', 30));
  expect(withStopped(both, undefined, 0)).toBe(both);
  const one = withStopped(answer(sender('desk', 20)), both, 3000);
  expect(one.senders.map(({ id, ago }) => [id, ago])).toEqual([
    ['desk', 20],
    ['band', 3030],
  ]);
  expect(withStopped(answer(sender('desk', 20)), one, 4000).senders[1]?.ago).toBe(7030);
  // It is the same one again when it is heard again, and none after a minute.
  expect(withStopped(answer(sender('band', 10)), one, 1000).senders.map(({ id }) => id)).toEqual(['band', 'desk']);
  expect(withStopped(answer(), both, 60_000).senders).toEqual([]);
});
