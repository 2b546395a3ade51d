import type { Levels } from '../../core/levels.ts';
import type { SacnSettings } from '../../core/output-settings.ts';
import type { Link, Output, OutputHost } from '../../core/ports.ts';
import type { OutputReport } from '../../core/report.ts';
import type { Byte, Millis, Universe } from '../../core/units.ts';
import { Faults } from '../faults.ts';
import { groupOf } from './addresses.ts';
import { Discovery } from './discovery.ts';
import { fillSync, newSyncPacket, type Source } from './packets.ts';
import { UniverseStream } from './stream.ts';
import { DISCOVERY_UNIVERSE, FORCE_SYNCHRONIZATION } from './tables.ts';
import { Targets } from './targets.ts';

/** E1.31-2018 section 6.2.6: packets that say that a universe is sent no more. */
const TERMINATIONS = 3;

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
  readonly #settings: SacnSettings;
  readonly #host: OutputHost;
  readonly #who: string;
  readonly #source: Source;
  readonly #faults: Faults;
  readonly #targets: Targets;
  readonly #discovery: Discovery;
  readonly #discoveryGroup: string;
  readonly #sync: { readonly packet: Uint8Array; readonly group: string } | undefined;
  #syncSequence: Byte = 0;
  #streams: readonly UniverseStream[] = [];
  #leaving: readonly Leaving[] = [];
  /** Where the sequence of a universe went on when it left: whoever still knows it must not find the new packets old. */
  readonly #sequences = new Map<Universe, Byte>();
  #away = '';
  #stopped = false;

  constructor({ settings, cid, sourceName, host }: SacnParts) {
    this.id = settings.id;
    this.#settings = settings;
    this.#host = host;
    this.#who = `sACN output "${settings.id}"`;
    this.#source = { cid, name: sourceName };
    this.#faults = new Faults(this.#who, host.log);
    this.#targets = new Targets(settings, host.openUdp, this.#faults.record);
    this.#discovery = new Discovery(this.#source);
    this.#discoveryGroup = groupOf(settings.family, DISCOVERY_UNIVERSE);
    this.#sync =
      settings.sync === undefined
        ? undefined
        : { packet: newSyncPacket(this.#source, settings.sync), group: groupOf(settings.family, settings.sync) };
  }

  carry(universes: readonly Universe[]): void {
    const known = new Map(this.#streams.map((stream) => [stream.universe, stream]));
    const gone = this.#streams.filter((stream) => !universes.includes(stream.universe));
    this.#streams = universes.map((universe) => known.get(universe) ?? this.#begin(universe));
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
    if (this.#targets.relink(links)) for (const { pace } of this.#streams) pace.restart();
    const away = this.#targets.away.join(', ');
    if (away !== this.#away) this.#host.log(this.#who + awayLine(away));
    this.#away = away;
  }

  flush(levels: Levels, now: Millis): number {
    if (this.#stopped) return 0;
    this.#faults.begin(now);
    const before = this.#targets.packets;
    const data = this.#sendData(levels, now);
    // A synchronized receiver acts on data only when told, and gives up after 2.5 s without a word; keep-alives come more often.
    if (data > 0) this.#sendSync();
    const terminations = this.#leaving.length > 0 ? this.#terminateOnce(now) : 0;
    for (const page of this.#discovery.due(now)) this.#targets.sendToGroup(page, this.#discoveryGroup);
    this.#faults.end(this.#targets.packets - before);
    return data + terminations;
  }

  stop(now: Millis): void {
    if (this.#stopped) return;
    this.#faults.begin(now);
    this.carry([]);
    while (this.#leaving.length > 0) this.#terminateOnce(now);
    for (const page of this.#discovery.due(now)) this.#targets.sendToGroup(page, this.#discoveryGroup);
    this.#targets.close();
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

  #begin(universe: Universe): UniverseStream {
    const { priority, sync, family } = this.#settings;
    // Should the synchronization packets get lost, receivers act on the data as it comes rather than freeze (section 6.2.6).
    const options = sync === undefined ? 0 : FORCE_SYNCHRONIZATION;
    const fields = { universe, priority, synchronizationAddress: sync ?? 0, options };
    const leaving = this.#leaving.find(({ stream }) => stream.universe === universe)?.stream;
    const sequence = leaving?.sequence ?? this.#sequences.get(universe) ?? 0;
    return new UniverseStream(this.#source, fields, family, sequence);
  }

  #sendData(levels: Levels, now: Millis): number {
    let count = 0;
    for (const stream of this.#streams) {
      if (!levels.has(stream.universe)) continue;
      if (!stream.pace.due(levels.slots(stream.universe), now)) continue;
      if (this.#targets.sendData(stream.next(), stream.group) === 0) continue;
      stream.sent(now);
      count++;
    }
    return count;
  }

  #sendSync(): void {
    if (this.#sync === undefined) return;
    fillSync(this.#sync.packet, this.#syncSequence);
    this.#syncSequence = (this.#syncSequence + 1) & 0xff;
    this.#targets.sendToGroup(this.#sync.packet, this.#sync.group);
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
      this.#sequences.set(stream.universe, stream.sequence);
    }
    this.#leaving = this.#leaving.filter(({ terminations }) => terminations > 0);
    return count;
  }
}

const awayLine = (away: string): string =>
  away === ''
    ? ': every way out is there again.'
    : `: no way out by ${away}. Lights that are fed by it may hold their last levels or go dark until it is back.`;
