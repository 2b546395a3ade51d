import type { ForeignReport } from '../../core/report.ts';
import type { Millis, PortAddress } from '../../core/units.ts';
import { Rate } from '../rate.ts';

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
  lastSeenAt: Millis;
}

/**
 * ArtDmx of others on Port-Addresses of ours. Only what is broadcast or sent to this machine can be heard: Art-Net 4 sends levels to
 * the nodes alone.
 */
export class ForeignStreams {
  readonly #streams = new Map<string, Stream>();

  heard(portAddress: PortAddress, address: string, now: Millis): void {
    const key = `${portAddress} ${address}`;
    const stream = this.#streams.get(key) ?? this.#begin(key, portAddress, address, now);
    if (stream === undefined) return;
    stream.rate.count(now);
    stream.lastSeenAt = now;
  }

  /** Forgets who has fallen silent, and tells of the others. */
  report(now: Millis): ForeignReport[] {
    for (const [key, { lastSeenAt }] of this.#streams) if (now - lastSeenAt >= SILENT) this.#streams.delete(key);
    return [...this.#streams.values()].map(({ rate, ...stream }) => ({ ...stream, perSecond: rate.perSecond(now) }));
  }

  #begin(key: string, portAddress: PortAddress, address: string, now: Millis): Stream | undefined {
    if (this.#streams.size >= MOST_STREAMS) return undefined;
    let same = 0;
    for (const one of this.#streams.values()) if (one.portAddress === portAddress) same++;
    if (same >= MOST_OF_ONE) return undefined;
    const stream = { portAddress, address, rate: new Rate(now), lastSeenAt: now };
    this.#streams.set(key, stream);
    return stream;
  }
}
