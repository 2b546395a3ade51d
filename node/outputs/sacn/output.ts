import type { Levels } from '../../core/levels.ts';
import type { OutputSettings, SacnSettings } from '../../core/output-settings.ts';
import type { Link, Output, OutputHost } from '../../core/ports.ts';
import type { OutputReport } from '../../core/report.ts';
import type { Millis, Universe } from '../../core/units.ts';
import { Faults } from '../faults.ts';
import { awayLine, Notices, silentLine } from '../notices.ts';
import { SACN_NUMBERS, Sequence } from '../sequence.ts';
import { Discovery } from './discovery.ts';
import { fillSync, newSyncPacket, type Source } from './packets.ts';
import { UniverseStream } from './stream.ts';
import { DISCOVERY_UNIVERSE, FORCE_SYNCHRONIZATION, groupOf } from './tables.ts';
import { Targets } from './targets.ts';

/** E1.31-2018 section 6.2.6: packets that say that a universe is sent no more. */
const TERMINATIONS = 3;
/**
 * E1.31-2018 section 11.2.2: between the last data packet of a frame and its synchronization packet receivers are given time to take the
 * data in; how much is left open. Our choice is less than a tenth of the shortest frame.
 */
const SYNC_DELAY: Millis = 2;
const NEVER: Millis = Number.POSITIVE_INFINITY;

export interface SacnParts {
  readonly settings: SacnSettings;
  /** 16 octets, the same over restarts of the node; no two outputs of a node that carry the same universe may share it. */
  readonly cid: Uint8Array;
  readonly sourceName: string;
  readonly host: OutputHost;
}

interface Leaving {
  readonly stream: UniverseStream;
  terminations: number;
}

/** Sends universes by ANSI E1.31 (sACN): multicast or unicast, paced, synchronized on request, announced by universe discovery. */
export class SacnOutput implements Output {
  readonly id: string;
  readonly #notices: Notices;
  readonly #source: Source;
  readonly #faults: Faults;
  readonly #targets: Targets;
  readonly #discovery: Discovery;
  /** Of every universe that was ever carried: whoever still knows one must not find its new packets old. */
  readonly #sequences = new Map<Universe, Sequence>();
  readonly #syncSequence = new Sequence(SACN_NUMBERS);
  #settings: SacnSettings;
  #discoveryGroup = '';
  #sync: { readonly packet: Uint8Array; readonly group: string } | undefined;
  #streams: readonly UniverseStream[] = [];
  #leaving: readonly Leaving[] = [];
  /** When the synchronization packet of the frame that has gone out is due. */
  #syncAt = NEVER;
  #dueAt = NEVER;
  /** Whether every receiver answers, as far as was told. */
  #allAnswer = true;
  #stopped = false;

  constructor({ settings, cid, sourceName, host }: SacnParts) {
    this.id = settings.id;
    this.#settings = settings;
    this.#source = { cid, name: sourceName };
    this.#notices = new Notices(`sACN output "${settings.id}"`, host.log);
    this.#faults = new Faults(this.#notices);
    this.#targets = new Targets(settings, host, this.#faults.record);
    this.#discovery = new Discovery(this.#source);
    this.#dress();
  }

  settle(settings: OutputSettings): void {
    if (this.#stopped || settings.protocol !== 'sacn') return;
    this.#settings = settings;
    this.#targets.settle(settings);
    this.#dress();
    this.#tellAway();
  }

  carry(universes: readonly Universe[]): void {
    const known = new Map(this.#streams.map((stream) => [stream.universe, stream]));
    const gone = this.#streams.filter((stream) => !universes.includes(stream.universe));
    this.#streams = universes.map((universe) => known.get(universe) ?? this.#streamOf(universe));
    this.#leaving = [
      ...this.#leaving.filter(({ stream }) => !universes.includes(stream.universe)),
      ...gone.filter((stream) => stream.begun).map((stream) => ({ stream, terminations: TERMINATIONS })),
    ];
    const { sync } = this.#settings;
    const synced = sync !== undefined && universes.length > 0;
    this.#discovery.list(synced ? [...new Set([...universes, sync])].sort((a, b) => a - b) : universes);
  }

  relink(links: readonly Link[]): void {
    if (this.#stopped) return;
    this.#faults.relinked();
    if (this.#targets.relink(links)) this.repeat();
    this.#tellAway();
  }

  repeat(): void {
    for (const { pace } of this.#streams) pace.restart();
  }

  flush(levels: Levels, now: Millis): number {
    if (this.#stopped) return 0;
    const before = this.#begin(now);
    // The frame before must not wait for its synchronization beyond the next one's data.
    if (this.#syncAt !== NEVER) this.#sendSync();
    let data = 0;
    for (const stream of this.#streams) {
      if (levels.has(stream.universe) && stream.pace.due(levels.slots(stream.universe), now)) data += this.#sendData(stream, now);
    }
    const terminations = this.#leaving.length > 0 ? this.#terminateOnce(now) : 0;
    this.#finish(now, data, before);
    return data + terminations;
  }

  tend(now: Millis): number {
    if (this.#stopped) return 0;
    const before = this.#begin(now);
    let data = 0;
    for (const stream of this.#streams) if (stream.pace.keepAliveDue(now)) data += this.#sendData(stream, now);
    this.#finish(now, data, before);
    return data;
  }

  get dueAt(): Millis {
    return this.#dueAt;
  }

  stop(now: Millis): void {
    if (this.#stopped) return;
    this.#begin(now);
    this.carry([]);
    while (this.#leaving.length > 0) this.#terminateOnce(now);
    this.#sendDiscovery(now);
    this.#targets.close();
    this.#dueAt = NEVER;
    this.#stopped = true;
  }

  report(): OutputReport {
    return {
      id: this.id,
      protocol: 'sacn',
      state: this.#faults.state(this.#targets.waiting),
      towards: this.#targets.describe(),
      packets: this.#targets.packets,
      dropped: this.#targets.dropped,
      errors: this.#faults.list(),
      universes: this.#streams.map((stream) => stream.report()),
    };
  }

  /** What goes before the data. @returns the number of datagrams that were sent before. */
  #begin(now: Millis): number {
    this.#notices.begin(now);
    this.#faults.begin(now);
    const before = this.#targets.packets;
    if (this.#targets.look(now)) this.repeat();
    if (this.#targets.parting) this.#part();
    return before;
  }

  /** What goes behind the data, now or a little later. */
  #finish(now: Millis, data: number, before: number): void {
    // A synchronized receiver acts on data only when told, and gives up after 2.5 s without a word; keep-alives come more often.
    if (data > 0 && this.#sync !== undefined) this.#syncAt = now + (this.#settings.syncDelay ?? SYNC_DELAY);
    if (now >= this.#syncAt) this.#sendSync();
    this.#sendDiscovery(now);
    if (this.#targets.holding || !this.#allAnswer)
      this.#allAnswer = this.#notices.follow(silentLine, this.#targets.silent.join(', '));
    this.#dueAt = Math.min(this.#syncAt, this.#targets.dueAt(now));
    this.#faults.end(this.#targets.packets - before);
  }

  #streamOf(universe: Universe): UniverseStream {
    const sequence = this.#sequences.get(universe) ?? new Sequence(SACN_NUMBERS);
    this.#sequences.set(universe, sequence);
    const stream = new UniverseStream(universe, sequence);
    this.#dressStream(stream);
    return stream;
  }

  /** Everything that bears what the settings say. */
  #dress(): void {
    const { family, sync } = this.#settings;
    if (sync === undefined) this.#syncAt = NEVER;
    this.#sync = sync === undefined ? undefined : { packet: newSyncPacket(this.#source, sync), group: groupOf(family, sync) };
    this.#discoveryGroup = groupOf(family, DISCOVERY_UNIVERSE);
    for (const stream of this.#streams) this.#dressStream(stream);
    for (const { stream } of this.#leaving) this.#dressStream(stream);
  }

  #dressStream(stream: UniverseStream): void {
    const { priority, sync, family } = this.#settings;
    // Should the synchronization packets get lost, receivers act on the data as it comes rather than freeze (section 6.2.6).
    const options = sync === undefined ? 0 : FORCE_SYNCHRONIZATION;
    stream.dress(this.#source, { universe: stream.universe, priority, synchronizationAddress: sync ?? 0, options }, family);
  }

  /** @returns how many packets of data went out: one, whoever it went to, or none. */
  #sendData(stream: UniverseStream, now: Millis): number {
    if (this.#targets.sendData(stream.next(), stream.group) === 0) return 0;
    stream.sent(now);
    return 1;
  }

  #sendSync(): void {
    this.#syncAt = NEVER;
    if (this.#sync === undefined) return;
    fillSync(this.#sync.packet, this.#syncSequence.take());
    this.#targets.sendToGroup(this.#sync.packet, this.#sync.group);
  }

  #sendDiscovery(now: Millis): void {
    const pages = this.#discovery.due(now);
    for (let i = 0; i < pages.length; i++) this.#targets.sendToGroup(pages[i] as Uint8Array, this.#discoveryGroup);
  }

  /** One termination for every universe that is leaving: three flushes on, they are all told. */
  #terminateOnce(now: Millis): number {
    let count = 0;
    for (const entry of this.#leaving) {
      const { stream } = entry;
      if (this.#targets.sendData(stream.termination(), stream.group) > 0) {
        stream.sent(now);
        count++;
      }
      entry.terminations--;
    }
    this.#leaving = this.#leaving.filter(({ terminations }) => terminations > 0);
    return count;
  }

  /** Who got data under other settings, and will get none any more, is told that every universe has ended. */
  #part(): void {
    for (const stream of [...this.#streams, ...this.#leaving.map((entry) => entry.stream)]) {
      for (let i = 0; stream.begun && i < TERMINATIONS; i++) this.#targets.sendParting(stream.termination(), stream.universe);
    }
    this.#targets.part();
  }

  #tellAway(): void {
    this.#notices.follow(awayLine, this.#targets.away.join(', '));
  }
}
