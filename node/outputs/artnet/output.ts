import type { Levels } from '../../core/levels.ts';
import { type ArtnetSettings, type OutputSettings, parseDestination } from '../../core/output-settings.ts';
import type { Link, Output, OutputHost } from '../../core/ports.ts';
import type { OutputReport, UniverseReport } from '../../core/report.ts';
import type { Hertz, Millis, PortAddress, Universe } from '../../core/units.ts';
import { Faults } from '../faults.ts';
import { awayLine, Notices, silentLine } from '../notices.ts';
import { ARTNET_NUMBERS, Sequence } from '../sequence.ts';
import { announcement, type Identity, ourPoll, pagesOf } from './announce.ts';
import { ForeignStreams } from './foreign.ts';
import { type Crowd, MOST_OF_ONE, MOST_SUBSCRIBERS, Nodes } from './nodes.ts';
import { type Numbering, numbering } from './numbering.ts';
import { ARTNET_PORT } from './packets.ts';
import { parseArtnet } from './parse.ts';
import { Polling } from './polling.ts';
import { type Page, Replies } from './replies.ts';
import { type Destination, type Send, Stream, type Subscriber } from './stream.ts';
import { Wire } from './wire.ts';
import { describe, MOST_NAMED, universes } from './wording.ts';
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
  readonly #notices: Notices;
  readonly #identity: Identity;
  readonly #faults: Faults;
  readonly #wire: Wire;
  readonly #nodes = new Nodes();
  readonly #foreign = new ForeignStreams();
  readonly #polling: Polling;
  readonly #replies: Replies;
  readonly #poll = ourPoll();
  readonly #sync = artSync();
  readonly #send: Send = (packet, port, address) => this.#wire.sendNow(packet, port, address);
  #numbering: Numbering = numbering([], {});
  #streams: readonly Stream[] = [];
  #pages: readonly Page[] = pagesOf([]);
  /** Of every Port-Address that was ever carried: whoever still knows one must not find its new packets old. */
  readonly #sequences = new Map<PortAddress, Sequence>();
  #settings: ArtnetSettings;
  /** Where the packets go, if not to the subscribers. */
  #fixed: readonly Destination[] | undefined;
  /** Streams that were found to go to nobody. */
  #deserted: readonly Stream[] = [];
  /** Whether every receiver answers, as far as was told. */
  #allAnswer = true;
  #crowded = '';
  #repliesSent = 0;
  #now: Millis = 0;
  #stopped = false;

  constructor({ settings, nodeName, firmwareVersion, host }: ArtnetParts) {
    this.id = settings.id;
    this.#settings = settings;
    this.#identity = { nodeName, firmwareVersion };
    this.#notices = new Notices(`Art-Net output "${settings.id}"`, host.log);
    this.#faults = new Faults(this.#notices);
    this.#wire = new Wire(settings.interface, host, {
      onMessage: (data, from) => this.#receive(data, from.address),
      onError: this.#faults.record,
    });
    this.#fixed = fixedOf(settings);
    this.#polling = new Polling(host.random);
    this.#replies = new Replies(host.random);
  }

  settle(settings: OutputSettings, now: Millis): void {
    if (this.#stopped || settings.protocol !== 'artnet') return;
    this.#now = now;
    this.#settings = settings;
    this.#fixed = fixedOf(settings);
    if (this.#wire.settle(settings.interface)) this.#afresh();
    this.#direct();
    this.#tellAway();
  }

  carry(universes: readonly Universe[], now: Millis): void {
    this.#now = now;
    const numbers = numbering(universes, this.#settings.portAddresses);
    for (const [universe, why] of numbers.left)
      if (!this.#numbering.left.has(universe)) this.#notices.say(`${why} and is not sent.`);
    this.#numbering = numbers;
    const known = this.#streams;
    this.#streams = [...numbers.carried].map(
      ([universe, portAddress]) =>
        known.find((stream) => stream.universe === universe && stream.portAddress === portAddress) ??
        new Stream(universe, portAddress, this.#sequenceOf(portAddress)),
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
    if (this.#wire.relink(links)) this.#afresh();
    this.#tellAway();
  }

  repeat(): void {
    for (const stream of this.#streams) stream.restart();
  }

  flush(levels: Levels, now: Millis): number {
    if (this.#stopped) return 0;
    const before = this.#begin(now);
    let sent = 0;
    for (const stream of this.#streams) {
      if (levels.has(stream.universe) && stream.flush(levels.slots(stream.universe), now, this.#send)) sent++;
    }
    this.#finish(now, sent, before);
    return sent;
  }

  tend(now: Millis): number {
    if (this.#stopped) return 0;
    const before = this.#begin(now);
    let sent = 0;
    for (const stream of this.#streams) if (stream.tend(now, this.#send)) sent++;
    this.#finish(now, sent, before);
    return sent;
  }

  get dueAt(): Millis {
    return this.#stopped ? Number.POSITIVE_INFINITY : this.#wire.dueAt(this.#now);
  }

  /** Art-Net has no goodbye: whoever listened keeps or drops the last levels, as it is set to. */
  stop(): void {
    this.#stopped = true;
    this.#wire.close();
  }

  report(): OutputReport {
    const reached = this.#streams.some(({ receivers }) => receivers.some(({ address }) => this.#wire.hears(address)));
    const left: UniverseReport[] = [...this.#numbering.left.keys()].map((universe) => ({
      universe,
      packets: 0,
      lastSentAt: null,
      isLeft: true,
    }));
    return {
      id: this.id,
      protocol: 'artnet',
      state: this.#faults.state(!reached),
      towards: [describe(this.#wire, this.#streams, this.#numbering, this.#fixed), this.#crowded].filter(Boolean).join('; '),
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
      if (this.#streams.some((stream) => stream.portAddress === portAddress)) this.#foreign.heard(packet, address, this.#now);
    }
  }

  readonly #reply = (page: Page, link: Link, address: string): void => {
    // A packet of its own each time: several may be on their way in one turn.
    this.#wire.send(announcement(this.#identity, page, link, this.#repliesSent++), ARTNET_PORT, address);
  };

  /** What goes before the levels. @returns the number of datagrams that were sent before. */
  #begin(now: Millis): number {
    this.#now = now;
    this.#notices.begin(now);
    this.#faults.begin(now);
    if (this.#wire.look(now)) this.repeat();
    if (this.#nodes.takeChanged()) this.#direct();
    return this.#wire.packets;
  }

  /** What goes behind the levels. */
  #finish(now: Millis, sent: number, before: number): void {
    // Nodes leave their synchronous mode after 4 s without ArtSync; keep-alives come more often.
    if (sent > 0 && this.#settings.sync) this.#wire.broadcast(this.#sync);
    if (this.#polling.due(now)) this.#sendPoll(now);
    this.#replies.flush(this.#pages, now, this.#reply);
    if (this.#wire.holding || !this.#allAnswer)
      this.#allAnswer = this.#notices.follow(silentLine, this.#wire.silent(this.#fixed).join(', '));
    this.#faults.end(this.#wire.packets - before);
  }

  #sequenceOf(portAddress: PortAddress): Sequence {
    const sequence = this.#sequences.get(portAddress) ?? new Sequence(ARTNET_NUMBERS);
    this.#sequences.set(portAddress, sequence);
    return sequence;
  }

  /** The ways out are others than before. */
  #afresh(): void {
    this.repeat();
    this.#replies.forget();
    this.#polling.hurry();
  }

  #sendPoll(now: Millis): void {
    this.#wire.broadcast(this.#poll);
    this.#nodes.polled(now);
    if (!this.#polling.closesRound(now)) return;
    this.#tellCrowd(this.#nodes.roundOver());
    this.#tellDeserted();
  }

  #direct(): void {
    const subscriptions = this.#nodes.subscriptions();
    const crowded: Stream[] = [];
    for (const stream of this.#streams) {
      const { subscribers = [], left = 0 } = subscriptions.get(stream.portAddress) ?? {};
      if (this.#fixed === undefined) stream.direct(subscribers);
      else stream.direct(this.#fixed.map((one) => ({ ...one, rate: rateOf(one, subscribers) })));
      if (left > 0 && this.#fixed === undefined) crowded.push(stream);
    }
    const words = crowded.length === 0 ? '' : `more than ${MOST_SUBSCRIBERS} nodes ask for ${universes(crowded)}`;
    if (words !== '' && words !== this.#crowded) this.#notices.say(`${words}; the others get nothing.`);
    this.#crowded = words;
  }

  #tellCrowd({ full, addresses }: Crowd): void {
    for (const address of addresses.slice(0, MOST_NAMED))
      this.#notices.say(`${address} answers for more than ${MOST_OF_ONE} ports; the others get nothing.`);
    if (full) this.#notices.say('more ports answer than can be remembered; those that answer every poll come first.');
  }

  #tellAway(): void {
    this.#notices.follow(awayLine, this.#wire.away(this.#fixed).join(', '));
  }

  /** Once a poll at most, so that a node that comes and goes does not fill the log. */
  #tellDeserted(): void {
    const before = this.#deserted;
    const deserted = this.#streams.filter(({ receivers }) => receivers.length === 0);
    const lost = deserted.filter((stream) => !before.includes(stream));
    const found = before.filter((stream) => this.#streams.includes(stream) && !deserted.includes(stream));
    this.#deserted = deserted;
    if (lost.length > 0) this.#notices.say(`no node takes ${universes(lost)}. Lights there may hold their last levels or go dark.`);
    if (found.length > 0) this.#notices.say(`a node takes ${universes(found)} again.`);
  }
}

const fixedOf = ({ to }: ArtnetSettings): readonly Destination[] | undefined =>
  to === 'auto'
    ? undefined
    : to.flatMap((text) => {
        const destination = parseDestination(text);
        return destination === undefined ? [] : [{ address: destination.address, port: destination.port ?? ARTNET_PORT }];
      });

/** An address that was given may be that of a node that has told its limit. */
const rateOf = ({ address }: Destination, asking: readonly Subscriber[]): Hertz =>
  asking.find((subscriber) => subscriber.address === address)?.rate ?? 0;
