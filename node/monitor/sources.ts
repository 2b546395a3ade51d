import { HeardLevels } from '../core/heard.ts';
import type { Byte, Millis, Universe } from '../core/units.ts';
import { Rate } from '../outputs/rate.ts';
import { parseSacn, type SacnData } from '../outputs/sacn/parse.ts';
import { NETWORK_DATA_LOSS_TIMEOUT, rootLayer } from '../outputs/sacn/tables.ts';
import type { SacnSource, Watch } from './messages.ts';
import { NAMELESS } from './rows.ts';

/** Sources that are remembered, each counted once a universe. When all places are taken newcomers are turned away until one is lost. */
export const MOST_SOURCES = 256;
/** Of one universe, so that a flood on it leaves room for what happens on others. */
export const MOST_OF_ONE = 16;
/** Of those as many from one address, so that a flood from there leaves room for others. */
export const MOST_OF_ADDRESS = 8;
/** Who sends preview data alone is remembered as well; of more nobody is told. */
export const MOST_PREVIEWS = 16;
/** Outputs of ours that are known, the newest first. */
const MOST_OWN = 64;
/** ANSI E1.11: the START code of levels. The others light nothing. */
const LEVELS = 0;
const CID = rootLayer.cid;

interface Source {
  readonly universe: Universe;
  readonly cid: string;
  readonly rate: Rate;
  readonly levels: HeardLevels;
  sequence: Byte;
  rawName: string;
  name: string;
  address: string;
  priority: number;
  lastSeenAt: Millis;
}

/** Who sends sACN on our universes, by what E1.31-2018 asks of a receiver. Whoever is not heard of is told of no more. */
export class SacnSources {
  readonly #sources = new Map<string, Source>();
  /** By CID. */
  readonly #previews = new Map<string, { readonly name: string; readonly lastSeenAt: Millis }>();
  #universes: ReadonlySet<Universe> = new Set();
  #own: readonly Uint8Array[] = [];

  watch({ universes, own }: Pick<Watch, 'universes' | 'own'>): void {
    this.#universes = new Set(universes);
    // An output that was ours a moment ago is still saying goodbye.
    this.#own = [...own, ...this.#own].slice(0, MOST_OWN);
    for (const [key, { universe }] of this.#sources) if (!this.#universes.has(universe)) this.#sources.delete(key);
  }

  /** Takes in any datagram. Its universe is what it says itself, whatever group brought it (section 9.1). */
  take(bytes: Uint8Array, address: string, now: Millis): void {
    if (this.#isOurs(bytes)) return;
    const packet = parseSacn(bytes);
    if (packet.kind !== 'data' || !this.#universes.has(packet.universe)) return;
    const key = keyOf(packet);
    const known = this.#sources.get(key);
    if (known !== undefined && isLost(known, now)) this.#sources.delete(key);
    else if (known !== undefined) {
      if (!acceptsSequence(known.sequence, packet.sequence)) return;
      known.sequence = packet.sequence;
    }
    // Section 6.2.6: preview data are for pictures on a screen, not for lights.
    if (packet.preview) this.#notePreview(packet, now);
    else if (packet.terminated) this.#sources.delete(key);
    else if (packet.startCode === LEVELS)
      this.#note(this.#sources.get(key) ?? this.#begin(key, packet, address, now), packet, address, now);
  }

  /** Forgets who is lost, and tells of the others. */
  report(now: Millis): SacnSource[] {
    this.#forget(now);
    return [...this.#sources.values()].map(({ universe, cid, name, address, priority, rate, levels, lastSeenAt }) => ({
      universe,
      name,
      address,
      priority,
      perSecond: rate.perSecond(now),
      lastSeenAt,
      cid,
      levels: levels.memory,
    }));
  }

  /** Names of those of whom nothing but preview data is heard. */
  previews(now: Millis): string[] {
    for (const [cid, one] of this.#previews) if (isLost(one, now)) this.#previews.delete(cid);
    const live = new Set([...this.#sources.values()].map(({ cid }) => cid));
    return [...this.#previews].flatMap(([cid, { name }]) => (live.has(cid) ? [] : [name]));
  }

  /** By its CID alone, before anything else is read: our own packets are most of what comes. */
  #isOurs(bytes: Uint8Array): boolean {
    return this.#own.some((cid) => cid.every((octet, i) => bytes[CID.at + i] === octet));
  }

  #begin(key: string, { universe, cid, sequence }: SacnData, address: string, now: Millis): Source | undefined {
    this.#forget(now);
    if (this.#sources.size >= MOST_SOURCES) return undefined;
    const same = [...this.#sources.values()].filter((one) => one.universe === universe);
    if (same.length >= MOST_OF_ONE || same.filter((one) => one.address === address).length >= MOST_OF_ADDRESS) return undefined;
    const source = {
      universe,
      cid: hexOf(cid),
      sequence,
      rate: new Rate(now),
      levels: new HeardLevels(),
      rawName: '',
      name: NAMELESS,
      address: '',
      priority: 0,
      lastSeenAt: now,
    };
    this.#sources.set(key, source);
    return source;
  }

  #forget(now: Millis): void {
    for (const [key, source] of this.#sources) if (isLost(source, now)) this.#sources.delete(key);
  }

  #notePreview({ cid, sourceName }: SacnData, now: Millis): void {
    const key = hexOf(cid);
    if (this.#previews.size >= MOST_PREVIEWS && !this.#previews.has(key)) return;
    this.#previews.set(key, { name: nameOf(sourceName), lastSeenAt: now });
  }

  #note(source: Source | undefined, { sourceName, priority, slots }: SacnData, address: string, now: Millis): void {
    if (source === undefined) return;
    if (source.rawName !== sourceName) {
      source.rawName = sourceName;
      source.name = nameOf(sourceName);
    }
    source.priority = priority;
    source.address = address;
    source.lastSeenAt = now;
    source.rate.count(now);
    source.levels.take(slots);
  }
}

/**
 * Section 6.7.2: whether a packet may follow the last one accepted from the same source, for the same universe and of the same type. One
 * that is up to 19 behind, or the same again, comes late and is discarded; further behind it is a fresh start.
 */
export function acceptsSequence(last: Byte, next: Byte): boolean {
  const ahead = ((next - last) << 24) >> 24;
  return ahead > 0 || ahead <= -20;
}

/** Section 6.7.1: nothing for 2.5 s, and a source is lost. */
export const isLost = ({ lastSeenAt }: { readonly lastSeenAt: Millis }, now: Millis): boolean =>
  now - lastSeenAt >= NETWORK_DATA_LOSS_TIMEOUT;

/** A source is known by its CID (section 5.6), and counts in every universe for itself. */
const keyOf = ({ cid, universe }: SacnData): string => `${hexOf(cid)} ${universe}`;
const hexOf = (cid: Uint8Array): string => Buffer.from(cid.buffer, cid.byteOffset, cid.length).toString('hex');

const nameOf = (sourceName: string): string => printable(sourceName) || NAMELESS;

/** What a stranger calls himself, fit for a page, a log and a terminal: nothing that steers them, turns the line or piles up on it. */
const printable = (text: string): string =>
  text
    .replace(/[\p{Cf}\p{Zl}\p{Zp}]/gu, '')
    .replace(/\p{C}/gu, '\ufffd')
    .replace(/(\p{M}{3})\p{M}+/gu, '$1')
    .trim();
