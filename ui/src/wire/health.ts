import type { FixtureSummary, WireReport } from '../../../node/api/contract.ts';
import type { NodeReport, OutputFault, OutputReport } from '../../../node/core/report.ts';

export const protocolNames = { sacn: 'sACN', artnet: 'Art-Net' } as const;

/** How an output fares: a word that a shape goes with, and a sentence. */
export interface Health {
  readonly state: 'well' | 'care' | 'waits' | 'fails';
  readonly words: string;
}

export function healthOf({ state, protocol, dropped, towards }: OutputReport): Health {
  switch (state) {
    case 'sending': {
      const partly = protocol === 'artnet' && towards.includes('no node takes');
      return partly ? { state: 'waits', words: 'Sends, but not every universe has a taker.' } : { state: 'well', words: 'Sends.' };
    }
    case 'waiting':
      if (protocol === 'artnet' && dropped === 0)
        return { state: 'waits', words: 'Waits: no node has asked for these universes yet.' };
      return { state: 'waits', words: 'Waits for its cable: nothing goes out this way. Plug it in; the rest is automatic.' };
    case 'failing':
      return { state: 'fails', words: 'The system refuses what it sends. Look at the network and the firewall of the node.' };
  }
}

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
  `${codes[code] ?? 'the system reports an error'} (${code}), ${count === 1 ? 'once' : `${count} times`}, ${agoWords(now - lastAt)}`;

/** How long ago, in plain words. */
export function agoWords(millis: number): string {
  const seconds = Math.max(0, Math.round(millis / 1000));
  if (seconds < 2) return 'just now';
  if (seconds < 90) return `${seconds} seconds ago`;
  const minutes = Math.round(seconds / 60);
  return minutes < 90 ? `${minutes} minutes ago` : `${Math.round(minutes / 60)} hours ago`;
}

/** A node's own words without the code and the counter before them (Art-Net 4, ArtPollReply NodeReport: `#xxxx [yyyy] text`). */
export const reportWords = (report: string): string => report.replace(/^#[0-9a-fA-F]{4}\s*\[\d+\]\s*/, '').trim();

export function takesWords({ outputs }: NodeReport): string {
  if (outputs.length === 0) return 'turns nothing into DMX';
  return `takes ${outputs.length === 1 ? 'port-address' : 'port-addresses'} ${listed(outputs.map(String))}`;
}

/** `1, 2 and 3`. */
export const listed = (items: readonly string[]): string =>
  items.length < 2 ? items.join('') : `${items.slice(0, -1).join(', ')} and ${items.at(-1)}`;

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

/** The page's question, answered in a few words; trouble first. `now` on the node's clock. */
export function answer(report: WireReport, fixtures: readonly FixtureSummary[], now: number): Health {
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
      `Nothing goes out on ${universeWords(missing)}: ${lights === 1 ? '1 light gets' : `${lights} lights get`} nothing.`,
    );
  if (failing.length > 0) sentences.push(`${listed(failing)} fails.`);
  if (missing.length === 0)
    sentences.push(
      `What ${fixtures.length === 1 ? '1 light' : `${fixtures.length} lights`} should get goes out by ${listed(names('well')) || listed(waiting)}.`,
    );
  if (waiting.length > 0 && (missing.length === 0 || failing.length === 0))
    sentences.push(`${listed(waiting)} waits: fine, if no light here needs it.`);
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
