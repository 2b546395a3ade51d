import type { FixtureSummary, ForeignSource, Seen, WireReport } from '../../../node/api/contract.ts';
import type { NodeReport, OutputFault } from '../../../node/core/report.ts';
import { counted, listed, protocolNames } from '../../../node/core/words.ts';
import { type Health, healthOf } from '../parts/output-health.ts';
import { ago } from '../parts/words.ts';

/** What the commonest system codes mean; others are given as they are. */
const codes: Readonly<Record<string, string>> = {
  EACCES: 'the system does not permit the send',
  ECONNREFUSED: 'the receiver does not listen on that port',
  EHOSTUNREACH: 'there is no way to the receiver',
  ENETDOWN: 'the network interface is down',
  ENETUNREACH: 'there is no way to that network',
  ENOBUFS: 'the network takes no more packets for now',
  EPERM: 'the firewall refuses the send',
};

export const faultWords = ({ code, count, lastAt }: OutputFault, now: number): string =>
  `${codes[code] ?? 'the system reports an error'} (${code}), ${count === 1 ? 'once' : `${count} times`}, ${ago(now - lastAt)}`;

/** A node's own words without the code and the counter before them (Art-Net 4, ArtPollReply NodeReport: `#xxxx [yyyy] text`). */
export const reportWords = (report: string): string => report.replace(/^#[0-9a-fA-F]{4}\s*\[\d+\]\s*/, '').trim();

export function takesWords({ outputs }: NodeReport): string {
  if (outputs.length === 0) return 'turns nothing into DMX';
  return `takes ${outputs.length === 1 ? 'port-address' : 'port-addresses'} ${listed(outputs.map(String))}`;
}

/** A universe that has not been sent for this long is not sent: an unchanging one still goes out every few seconds. */
const UNSENT_AFTER = 6000;

function unsent({ outputs }: WireReport, fixtures: readonly FixtureSummary[], now: number): number[] {
  const sent = outputs.flatMap(({ universes }) =>
    universes.filter(({ lastSentAt }) => lastSentAt !== null && now - lastSentAt < UNSENT_AFTER).map(({ universe }) => universe),
  );
  return distinct(fixtures.map(({ universe }) => universe).filter((universe) => !sent.includes(universe)));
}

const distinct = (numbers: readonly number[]): number[] => [...new Set(numbers)].sort((a, b) => a - b);
/** `universes 1, 2 and 3`. */
export const universeWords = (numbers: readonly number[]): string =>
  `${numbers.length === 1 ? 'universe' : 'universes'} ${listed(numbers.map(String))}`;

/**
 * The page's question, answered in a few words; trouble first. What is sent may be darkness: that is said too.
 * @param now on the node's clock
 */
export function answer(report: WireReport, fixtures: readonly FixtureSummary[], now: number, seen?: Seen): Health {
  if (report.outputs.length === 0) return { state: 'fails', words: 'This node has no output: nothing goes to any light.' };
  const names = (wanted: Health['state']): string[] => [
    ...new Set(report.outputs.filter((output) => healthOf(output).state === wanted).map(({ protocol }) => protocolNames[protocol])),
  ];
  const missing = unsent(report, fixtures, now);
  const lights = fixtures.filter(({ universe }) => missing.includes(universe)).length;
  const others = distinct(report.sources.map(({ universe }) => universe));
  const failing = names('fails');
  const waiting = names('waits');
  const sentences = [];
  if (missing.length > 0)
    sentences.push(
      `Nothing goes out on ${universeWords(missing)}: ${counted(lights, 'light')} ${lights === 1 ? 'gets' : 'get'} nothing.`,
    );
  if (failing.length > 0) sentences.push(`Nothing gets out by ${listed(failing)}.`);
  if (missing.length === 0 && fixtures.length > 0)
    sentences.push(
      `Data for ${fixtures.length === 1 ? 'the one light' : `all ${counted(fixtures.length, 'light')}`} is being sent by ${listed(names('well')) || listed(waiting)}; whether it arrives cannot be seen from here.`,
    );
  if (waiting.length > 0 && (missing.length === 0 || failing.length === 0))
    sentences.push(`${listed(waiting)} waits: fine, if no light here needs it.`);
  if (fixtures.length === 0) sentences.push('This show has no lights yet: nothing is sent.');
  else if (seen?.dark === true && missing.length === 0) sentences.push(`What is sent is dark. ${seen.line}`);
  if (others.length > 0) sentences.push(`Somebody else sends on ${universeWords(others)}.`);
  else if (missing.length === 0) sentences.push('Nobody else is heard.');
  const state = missing.length > 0 || failing.length > 0 ? 'fails' : others.length > 0 ? 'care' : 'well';
  return { state, words: sentences.join(' ') };
}

/** The longest wait between two frames, judged against the wait that is planned. */
export function intervalWords(worst: number, rate: number): string {
  const planned = rate > 0 ? 1000 / rate : 0;
  if (worst <= 0) return 'no frame is timed just now';
  if (planned === 0 || worst <= planned * 1.5) return 'steady';
  return worst <= planned * 4 ? 'a little late once; nobody sees that' : 'late: a fade may have jumped here';
}

/** One who sends on universes of ours, all of them together where what is said of each is the same. */
export interface Talker extends Omit<ForeignSource, 'universe' | 'portAddress'> {
  readonly universes: readonly number[];
}

/** Who is heard, in the node's order. `perSecond` is that of its busiest universe. */
export function talkers(sources: readonly ForeignSource[]): Talker[] {
  const found = new Map<string, Talker>();
  for (const { universe, portAddress: _, ...source } of sources) {
    const key = JSON.stringify([source.protocol, source.name, source.address, source.priority, source.meaning]);
    const known = found.get(key);
    found.set(key, {
      ...source,
      universes: [...(known?.universes ?? []), universe].sort((a, b) => a - b),
      perSecond: Math.max(source.perSecond, known?.perSecond ?? 0),
      lastSeenAt: Math.max(source.lastSeenAt, known?.lastSeenAt ?? source.lastSeenAt),
    });
  }
  return [...found.values()];
}
