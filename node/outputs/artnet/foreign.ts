import { HeardLevels } from '../../core/heard.ts';
import type { ForeignReport } from '../../core/report.ts';
import type { Byte, Millis, PortAddress } from '../../core/units.ts';
import { Rate } from '../rate.ts';
import type { ParsedDmx } from './parse.ts';

/** Streams that are remembered. When all places are taken newcomers are turned away until one falls silent. */
const MOST_STREAMS = 64;
/** Of one Port-Address, so that a flood on it leaves room for what happens on others. */
const MOST_OF_ONE = 8;
/** Art-Net 4: a node that merges two sources lets go of one that is silent for so long. */
const SILENT: Millis = 10_000;

interface Stream {
  readonly portAddress: PortAddress;
  readonly address: string;
  readonly rate: Rate;
  readonly levels: HeardLevels;
  sequence: Byte;
  lastSeenAt: Millis;
}

type HeardDmx = Pick<ParsedDmx, 'portAddress' | 'sequence' | 'slots'>;

/** So far behind the last packet one comes late; further behind its sender has begun anew. As E1.31 has it: Art-Net 4 names no number. */
const LATE = 19;
/** Behind a pause as long as this nothing comes late. A choice of ours, no source. */
const PAUSE: Millis = 1000;

/**
 * ArtDmx of others on Port-Addresses of ours. Only what is broadcast or sent to this machine can be heard: Art-Net 4 sends levels to
 * the nodes alone.
 */
export class ForeignStreams {
  readonly #streams = new Map<string, Stream>();

  heard({ portAddress, sequence, slots }: HeardDmx, address: string, now: Millis): void {
    const key = `${portAddress} ${address}`;
    const stream = this.#streams.get(key) ?? this.#begin(key, portAddress, address, now);
    if (stream === undefined) return;
    stream.rate.count(now);
    const late = now - stream.lastSeenAt < PAUSE && isLate(stream.sequence, sequence);
    stream.lastSeenAt = now;
    if (late) return;
    stream.sequence = sequence;
    stream.levels.take(slots);
  }

  /** Forgets who has fallen silent, and tells of the others. */
  report(now: Millis): ForeignReport[] {
    for (const [key, { lastSeenAt }] of this.#streams) if (now - lastSeenAt >= SILENT) this.#streams.delete(key);
    return [...this.#streams.values()].map(({ rate, portAddress, address, lastSeenAt, levels }) => ({
      portAddress,
      address,
      perSecond: rate.perSecond(now),
      lastSeenAt,
      levels: levels.memory,
    }));
  }

  #begin(key: string, portAddress: PortAddress, address: string, now: Millis): Stream | undefined {
    if (this.#streams.size >= MOST_STREAMS) return undefined;
    let same = 0;
    for (const one of this.#streams.values()) if (one.portAddress === portAddress) same++;
    if (same >= MOST_OF_ONE) return undefined;
    const stream = { portAddress, address, rate: new Rate(now), levels: new HeardLevels(), sequence: 0, lastSeenAt: now };
    this.#streams.set(key, stream);
    return stream;
  }
}

/** Art-Net 4: numbers go round from 1 to 255; 0 says that the sender does not number its packets. */
function isLate(last: Byte, next: Byte): boolean {
  if (last === 0 || next === 0) return false;
  const behind = (last - next + 255) % 255;
  return behind > 0 && behind <= LATE;
}
