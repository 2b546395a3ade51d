import type { HeardAnswer } from '../../../../node/api/edit-contract.ts';

/** Milliseconds for which one that has stopped stays in the list. */
const STAYS = 60_000;

/** With those that were heard before and have stopped since, behind the others: a list that loses a row says nothing of why. */
export function withStopped(answer: HeardAnswer, before: HeardAnswer | undefined, since: number): HeardAnswer {
  const there = new Set(answer.senders.map(({ id }) => id));
  const stopped = (before?.senders ?? [])
    .filter(({ id }) => !there.has(id))
    .map((one) => ({ ...one, ago: one.ago + since, outranked: [] }))
    .filter(({ ago }) => ago < STAYS);
  return stopped.length === 0 ? answer : { ...answer, senders: [...answer.senders, ...stopped] };
}
