import type { Levels } from '../../core/levels.ts';
import { type ArtnetSettings, parseDestination } from '../../core/output-settings.ts';
import type { Link, Output, OutputHost } from '../../core/ports.ts';
import type { OutputReport, UniverseReport } from '../../core/report.ts';
import type { Hertz, Millis, PortAddress, Universe } from '../../core/units.ts';
import { Faults } from '../faults.ts';
import { announcement, type Identity, ourPoll, pagesOf } from './announce.ts';
import { ForeignStreams } from './foreign.ts';
import { Nodes } from './nodes.ts';
import { type Numbering, numbering } from './numbering.ts';
import { ARTNET_PORT } from './packets.ts';
import { parseArtnet } from './parse.ts';
import { Polling } from './polling.ts';
import { type Page, Replies } from './replies.ts';
import { type Destination, type Send, Stream, type Subscriber } from './stream.ts';
import { Wire } from './wire.ts';
import { describe, universes } from './wording.ts';
import { artSync } from './write.ts';

export interface ArtnetParts extends Identity {
  readonly settings: ArtnetSettings;
  readonly host: OutputHost;
}

/**
 * Sends universes by Art-Net 4: unicast to the nodes that subscribe by their ArtPollReply, or to addresses that are given. It polls,
 * and answers polls as a controller.
 */
export class ArtnetOutput implements Output {
  readonly id: string;
  readonly #settings: ArtnetSettings;
  readonly #log: (line: string) => void;
  readonly #identity: Identity;
  readonly #faults: Faults;
  readonly #wire: Wire;
  readonly #fixed: readonly Destination[] | undefined;
  readonly #nodes = new Nodes();
  readonly #foreign = new ForeignStreams();
  readonly #polling: Polling;
  readonly #replies: Replies;
  readonly #poll = ourPoll();
  readonly #sync = artSync();
  readonly #send: Send = (packet, port, address) => this.#wire.send(packet, port, address);
  #numbering: Numbering = numbering([], {});
  #streams: readonly Stream[] = [];
  #pages: readonly Page[] = pagesOf([]);
  /** Where the sequence of a Port-Address went on when it left: whoever still knows it must not find the new packets old. */
  readonly #sequences = new Map<PortAddress, number>();
  /** Streams that were found to go to nobody. */
  #deserted: readonly Stream[] = [];
  #away = '';
  #repliesSent = 0;
  #now: Millis = 0;
  #stopped = false;

  constructor({ settings, nodeName, firmwareVersion, host }: ArtnetParts) {
    this.id = settings.id;
    this.#settings = settings;
    this.#identity = { nodeName, firmwareVersion };
    this.#log = (line) => host.log(`Art-Net output "${settings.id}": ${line}`);
    this.#faults = new Faults(`Art-Net output "${settings.id}"`, host.log);
    this.#wire = new Wire(settings.interface, host.openUdp, {
      onMessage: (data, from) => this.#receive(data, from.address),
      onError: this.#faults.record,
    });
    this.#fixed = settings.to === 'auto' ? undefined : settings.to.flatMap(fixed);
    this.#polling = new Polling(host.random);
    this.#replies = new Replies(host.random);
  }

  carry(universes: readonly Universe[], now: Millis): void {
    this.#now = now;
    const only = this.#settings.universes;
    const wanted = only === undefined ? universes : universes.filter((universe) => only.includes(universe));
    const numbers = numbering(wanted, this.#settings.portAddresses);
    for (const [universe, why] of numbers.left) if (!this.#numbering.left.has(universe)) this.#log(`${why} and is not sent.`);
    this.#numbering = numbers;
    const known = this.#streams;
    for (const { portAddress, sequence } of known) this.#sequences.set(portAddress, sequence);
    this.#streams = [...this.#numbering.carried].map(
      ([universe, portAddress]) =>
        known.find((stream) => stream.universe === universe) ??
        new Stream(universe, portAddress, this.#sequences.get(portAddress) ?? 0),
    );
    if (known.length === this.#streams.length && known.every((stream, i) => stream === this.#streams[i])) return;
    this.#pages = pagesOf(this.#streams.map(({ portAddress }) => portAddress));
    this.#direct();
    this.#replies.changed(now);
  }

  relink(links: readonly Link[], now: Millis): void {
    if (this.#stopped) return;
    this.#faults.relinked();
    this.#now = now;
    if (this.#wire.relink(links)) {
      for (const stream of this.#streams) stream.restart();
      this.#replies.forget();
      this.#polling.hurry();
    }
    const away = this.#wire.away(this.#fixed).join(', ');
    if (away !== this.#away) this.#log(awayLine(away));
    this.#away = away;
  }

  flush(levels: Levels, now: Millis): number {
    if (this.#stopped) return 0;
    this.#now = now;
    this.#faults.begin(now);
    const before = this.#wire.packets;
    if (this.#nodes.takeChanged()) this.#direct();
    let sent = 0;
    for (const stream of this.#streams) {
      if (levels.has(stream.universe) && stream.flush(levels.slots(stream.universe), now, this.#send)) sent++;
    }
    // Nodes leave their synchronous mode after 4 s without ArtSync; keep-alives come more often.
    if (sent > 0 && this.#settings.sync) this.#wire.broadcast(this.#sync);
    if (this.#polling.due(now)) this.#sendPoll(now);
    this.#replies.flush(this.#pages, now, this.#reply);
    this.#faults.end(this.#wire.packets - before);
    return sent;
  }

  /** Art-Net has no goodbye: whoever listened keeps or drops the last levels, as it is set to. */
  stop(): void {
    this.#stopped = true;
    this.#wire.close();
  }

  report(): OutputReport {
    const reached = this.#streams.some(({ receivers }) => receivers.some(({ address }) => this.#wire.reaches(address)));
    const left: UniverseReport[] = [...this.#numbering.left.keys()].map((universe) => ({ universe, packets: 0, lastSentAt: null }));
    return {
      id: this.id,
      protocol: 'artnet',
      state: this.#faults.state(!reached),
      towards: describe(this.#wire, this.#streams, this.#numbering, this.#fixed),
      packets: this.#wire.packets,
      dropped: this.#wire.dropped,
      errors: this.#faults.list(),
      universes: [...this.#streams.map((stream) => stream.report()), ...left].sort((a, b) => a.universe - b.universe),
      nodes: this.#nodes.report(),
      foreign: this.#foreign.report(this.#now),
    };
  }

  /** Datagrams come in between flushes and bear no time of their own; the last flush's is near enough for spans of seconds. */
  #receive(data: Uint8Array, address: string): void {
    if (this.#stopped) return;
    const packet = parseArtnet(data);
    if (packet.kind === 'poll') {
      // Every device answers a poll, its sender included: another program on this machine may have sent it, or may hear the answer.
      this.#replies.ask(packet, address, this.#now, (asker) => this.#wire.facing(asker));
    } else if (packet.kind === 'pollReply') {
      // What comes from our own address and puts nothing out is our own answer.
      if (packet.outputs.length === 0 && this.#wire.owns(address)) return;
      this.#nodes.heard(packet, address, this.#now, () => this.#wire.facing(address) !== undefined);
    } else if (packet.kind === 'dmx' && !this.#wire.owns(address)) {
      const { portAddress } = packet;
      if (this.#streams.some((stream) => stream.portAddress === portAddress)) this.#foreign.heard(portAddress, address, this.#now);
    }
  }

  readonly #reply = (page: Page, link: Link, address: string): void => {
    // A packet of its own each time: several may be on their way in one turn.
    this.#wire.send(announcement(this.#identity, page, link, this.#repliesSent++), ARTNET_PORT, address);
  };

  #sendPoll(now: Millis): void {
    this.#wire.broadcast(this.#poll);
    if (!this.#polling.closesRound(now)) return;
    this.#nodes.roundOver();
    this.#tellDeserted();
  }

  #direct(): void {
    const subscriptions = this.#nodes.subscriptions();
    for (const stream of this.#streams) {
      const asking = subscriptions.get(stream.portAddress) ?? [];
      if (this.#fixed === undefined) stream.direct(asking);
      else stream.direct(this.#fixed.map((one) => ({ ...one, rate: rateOf(one, asking) })));
    }
  }

  /** Once a poll at most, so that a node that comes and goes does not fill the log. */
  #tellDeserted(): void {
    const before = this.#deserted;
    const deserted = this.#streams.filter(({ receivers }) => receivers.length === 0);
    const lost = deserted.filter((stream) => !before.includes(stream));
    const found = before.filter((stream) => this.#streams.includes(stream) && !deserted.includes(stream));
    this.#deserted = deserted;
    if (lost.length > 0) this.#log(`no node takes ${universes(lost)}. Lights there may hold their last levels or go dark.`);
    if (found.length > 0) this.#log(`a node takes ${universes(found)} again.`);
  }
}

function fixed(text: string): Destination[] {
  const destination = parseDestination(text);
  return destination === undefined ? [] : [{ address: destination.address, port: destination.port ?? ARTNET_PORT }];
}

/** An address that was given may be that of a node that has told its limit. */
const rateOf = ({ address }: Destination, asking: readonly Subscriber[]): Hertz =>
  asking.find((subscriber) => subscriber.address === address)?.rate ?? 0;

const awayLine = (away: string): string =>
  away === ''
    ? 'every way out is there again.'
    : `no way out by ${away}. Lights that are fed by it may hold their last levels or go dark until it is back.`;
