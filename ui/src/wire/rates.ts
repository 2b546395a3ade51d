import type { WireReport } from '../../../node/api/contract.ts';

/** A report with the time at which it came here. */
export interface Sample {
  readonly at: number;
  readonly report: WireReport;
}

/** Reports that a rate is taken over. Unchanged sACN goes out about once a second, so a shorter stretch would show 0 and 2 in turn. */
const STRETCH = 4000;

/** Adds a report and lets go of those that are too old. */
export const withReport = (samples: readonly Sample[], report: WireReport, at: number): Sample[] => [
  ...samples.filter((sample) => at - sample.at <= STRETCH),
  { at, report },
];

/** Packets a second of one universe by one output; undefined until there are two reports. */
export function packetRate(samples: readonly Sample[], output: string, universe: number): number | undefined {
  const points = samples.flatMap(({ at, report }) => {
    const found = report.outputs.find(({ id }) => id === output)?.universes.find((one) => one.universe === universe);
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
  if (rate === undefined) return 'counting packets';
  if (rate === 0) return 'no packets';
  const rounded = Math.round(rate);
  if (rounded <= 2) return 'at rest, about 1 packet a second';
  return `${rounded} packets a second`;
}
