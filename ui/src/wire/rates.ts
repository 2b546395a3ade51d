import type { WireReport } from '../../../node/api/contract.ts';
import type { UniverseReport } from '../../../node/core/report.ts';
import { protocolNames } from '../../../node/core/words.ts';

/** A report with the time at which it came here. */
export interface Sample {
  readonly at: number;
  readonly report: WireReport;
  /** What each output has sent of each universe, by {@link keyOf}. */
  readonly sent: ReadonlyMap<string, UniverseReport>;
}

/** Reports that a rate is taken over. Unchanged sACN goes out about once a second, so a shorter stretch would show 0 and 2 in turn. */
const STRETCH = 4000;

const keyOf = (output: string, universe: number): string => `${universe} ${output}`;

/** Adds a report and lets go of those that are too old. */
export function withReport(samples: readonly Sample[], report: WireReport, at: number): Sample[] {
  const sent = new Map(
    report.outputs.flatMap(({ id, universes }) => universes.map((one) => [keyOf(id, one.universe), one] as const)),
  );
  return [...samples.filter((sample) => at - sample.at <= STRETCH), { at, report, sent }];
}

/** Packets a second of one universe by one output; undefined until there are two reports. */
export function packetRate(samples: readonly Sample[], output: string, universe: number): number | undefined {
  const key = keyOf(output, universe);
  const points = samples.flatMap(({ at, sent }) => {
    const found = sent.get(key);
    return found === undefined ? [] : [{ at, packets: found.packets, sentAt: found.lastSentAt }];
  });
  // An output that was built anew counts from 0 again.
  const anew = points.findLastIndex(({ packets }, i) => packets < (points[i - 1]?.packets ?? 0));
  const fresh = points.slice(Math.max(0, anew));
  const first = fresh[0];
  const last = fresh.at(-1);
  const before = fresh.at(-2);
  if (first === undefined || last === undefined || before === undefined) return undefined;
  const packets = last.packets - first.packets;
  if (packets === 0) return 0;
  // The node says when its last packet left: counted by that, the network's jitter has no part in the figure.
  const sentFor = first.sentAt === null || last.sentAt === null ? 0 : last.sentAt - first.sentAt;
  const span = last.packets > before.packets && sentFor > 0 ? sentFor : last.at - first.at;
  return span > 0 ? (packets * 1000) / span : undefined;
}

/** The rate in words. */
export function rateWords(rate: number | undefined): string {
  if (rate === undefined) return 'its packets are being counted';
  if (rate === 0) return 'no packets';
  const rounded = Math.round(rate);
  if (rounded <= 2) return 'nothing changes, so about one packet a second';
  return `${rounded} packets a second`;
}

/** How a universe leaves, output by output. */
export function sendingWords(samples: readonly Sample[], universe: number): string {
  const newest = samples.at(-1);
  if (newest === undefined) return 'Its packets are being counted.';
  const carrying = newest.report.outputs.filter(({ id }) => newest.sent.has(keyOf(id, universe)));
  if (carrying.length === 0) return 'No output carries it.';
  return `${carrying.map(({ id, protocol }) => `${protocolNames[protocol]}: ${rateWords(packetRate(samples, id, universe))}`).join('; ')}.`;
}
