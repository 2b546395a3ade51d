import { type Answer, decode, encode, type Packet, type Question } from 'dns-packet';
import type { Clock, Link, Log, OpenUdp, UdpSocket } from '../core/ports.ts';
import type { Millis } from '../core/units.ts';

/** RFC 6762, section 3. */
const GROUP = '224.0.0.251';
const PORT = 5353;
/** Section 11: so that older askers know the answer for one from their own network. */
const IP_TTL = 255;
/** Section 6: a record is not multicast on an interface again within one second. */
const ANSWER_EVERY: Millis = 1000;
/** Section 18.2 and 18.4: set in answers; and "authoritative". */
const AUTHORITATIVE = 1 << 10;
/** Seconds that an answer may be kept: addresses change when a cable is plugged elsewhere. */
const RECORD_TTL = 60;
/** Section 6.7: whoever asks once, from another port, keeps an answer no longer. */
const ONCE_TTL = 10;
/** Answers to single askers that a network gets within a second. */
const MOST_SINGLE = 20;
/** Classes of questions that are meant (IN, ANY), and those that want the answer for themselves (section 5.4: the highest bit is set). */
const CLASSES = ['IN', 'ANY'];
const CLASSES_SINGLE = [0x8001, 0x80ff].map((value) => `UNKNOWN_${value}`);
const LOOK_EVERY: Millis = 2000;

export interface NameParts {
  /** Undefined while the system cannot say. */
  readonly links: () => readonly Link[] | undefined;
  /** Whether an address lies on the network of a link. */
  readonly isOn: (link: Link, address: string) => boolean;
  readonly openUdp: OpenUdp;
  readonly clock: Clock;
  readonly log: Log;
}

/** One network that the name is answered for on, with the addresses that are valid there (section 6.2: those and no others). */
interface Network {
  readonly links: readonly Link[];
  readonly socket: UdpSocket;
  answeredAt: Millis;
  /** Answers to single askers within the second that began then. */
  single: { readonly since: Millis; count: number };
  /** What the system refused last, by its code. */
  trouble?: string;
}

/**
 * Answers for `NAME.local` (RFC 6762) on every network that the machine is on, so that a phone finds the node without knowing any
 * address. A network that does not let multicast through costs only the name.
 */
export class NameResponder {
  readonly #host: string;
  readonly #parts: NameParts;
  /** By the name of the interface. */
  readonly #networks = new Map<string, Network>();
  #timer: NodeJS.Timeout | undefined;

  constructor(name: string, parts: NameParts) {
    this.#host = `${name}.local`;
    this.#parts = parts;
  }

  start(): void {
    this.follow();
    if (this.#networks.size === 0) this.#parts.log.info(`No network is up: phones find ${this.#host} as soon as one is.`);
    this.#timer = setInterval(() => this.follow(), LOOK_EVERY);
  }

  stop(): void {
    clearInterval(this.#timer);
    for (const { socket } of this.#networks.values()) socket.close();
    this.#networks.clear();
  }

  /** Goes along with cables and addresses as they are now. */
  follow(): void {
    const wanted = this.#wanted();
    if (wanted === undefined) return;
    for (const [name, { links, socket }] of this.#networks) {
      if (keyOf(wanted.get(name) ?? []) === keyOf(links)) continue;
      socket.close();
      this.#networks.delete(name);
    }
    // Only of a network that is as it was: what fails while an address changes is over by now.
    for (const [name, network] of this.#networks) this.#complain(name, network);
    for (const [name, links] of wanted) if (!this.#networks.has(name)) this.#networks.set(name, this.#open(links));
  }

  /** IPv4 links by interface; undefined where the system does not say. */
  #wanted(): Map<string, Link[]> | undefined {
    const wanted = new Map<string, Link[]>();
    try {
      for (const link of this.#parts.links() ?? [])
        if (link.family === 'IPv4' && !link.internal) wanted.set(link.name, [...(wanted.get(link.name) ?? []), link]);
      return wanted;
    } catch {
      // Out of descriptors: the networks of before are as good a guess as any.
      return undefined;
    }
  }

  #complain(name: string, network: Network): void {
    if (network.trouble === undefined) return;
    const words = `${this.#host} cannot be answered for on ${name} (${network.trouble}); phones there need the address instead.`;
    this.#parts.log.once(`name ${name}`, words);
    delete network.trouble;
  }

  #open(links: readonly Link[]): Network {
    const { openUdp } = this.#parts;
    const socket = openUdp({
      family: 'IPv4',
      port: PORT,
      multicastInterface: links[0]?.address ?? '',
      multicastTtl: IP_TTL,
      groups: [GROUP],
      onMessage: (data, from) => this.#hear(network, data, from),
      onError: (code) => {
        network.trouble = code;
      },
    });
    const network: Network = { links, socket, answeredAt: Number.NEGATIVE_INFINITY, single: { since: 0, count: 0 } };
    return network;
  }

  /** Multicast that comes in by any interface is heard here, so a question on one network is answered on the others too. */
  #hear(network: Network, data: Uint8Array, from: { readonly address: string; readonly port: number }): void {
    const packet = this.#read(data, from.address);
    if (packet?.type === 'response') this.#lookForAnother(packet, from.address);
    const asked = packet?.type === 'query' ? (packet.questions ?? []).filter((one) => this.#isMeant(one)) : [];
    if (packet === undefined || asked.length === 0) return;
    const now = this.#parts.clock.now();
    const isOnce = from.port !== PORT;
    const wantSingle = asked.every((one) => CLASSES_SINGLE.includes(classOf(one)));
    // Section 5.4: what was not multicast for a quarter of its time is multicast all the same, so that others learn it too.
    if (isOnce || (wantSingle && now - network.answeredAt < RECORD_TTL * 250)) {
      if (this.#mayAnswerSingle(network, from.address, now))
        network.socket.send(this.#answer(network.links, isOnce ? { id: packet.id, asked } : undefined), from.port, from.address);
      return;
    }
    if (now - network.answeredAt < ANSWER_EVERY) return;
    network.answeredAt = now;
    network.socket.send(this.#answer(network.links), PORT, GROUP);
  }

  #read(data: Uint8Array, from: string): Packet | undefined {
    try {
      return decode(Buffer.from(data.buffer, data.byteOffset, data.byteLength));
    } catch {
      this.#parts.log.once('name malformed', `What ${from} sent to port ${PORT} is no question for a name; it was passed over.`);
      return undefined;
    }
  }

  #isMeant(question: Question): boolean {
    const { name, type } = question;
    if (name.toLowerCase() !== this.#host || !['A', 'AAAA', 'ANY'].includes(type)) return false;
    return [...CLASSES, ...CLASSES_SINGLE].includes(classOf(question));
  }

  /** Only who is on the network itself (section 11), and only so often: nobody is to be flooded by answers to what another has asked. */
  #mayAnswerSingle(network: Network, address: string, now: Millis): boolean {
    if (!network.links.some((link) => this.#parts.isOn(link, address))) return false;
    if (now - network.single.since >= 1000) network.single = { since: now, count: 0 };
    return ++network.single.count <= MOST_SINGLE;
  }

  /** Two that answer for one name (section 9): a phone reaches now this one, now that. Our own answers come back to us too. */
  #lookForAnother({ answers = [], additionals = [] }: Packet, from: string): void {
    const own = new Set([...this.#networks.values()].flatMap(({ links }) => links.map(({ address }) => address)));
    const isOther = (one: Answer) => one.type === 'A' && one.name.toLowerCase() === this.#host && !own.has(one.data);
    if (own.has(from) || ![...answers, ...additionals].some(isOther)) return;
    this.#parts.log.once(
      'name twice',
      `Another machine, ${from}, is called ${this.#host} as well: phones may reach either. Give this node another name.`,
    );
  }

  /** @param once for somebody who asked once, as of any name server: with its number and question, and nothing that clears its memory (section 6.7) */
  #answer(links: readonly Link[], once?: { readonly id: number | undefined; readonly asked: Question[] }): Uint8Array {
    const common = { name: this.#host, ttl: once === undefined ? RECORD_TTL : ONCE_TTL, flush: once === undefined };
    return encode({
      type: 'response',
      flags: AUTHORITATIVE,
      ...(once === undefined ? {} : { id: once.id ?? 0, questions: once.asked }),
      answers: links.map(({ address }) => ({ ...common, type: 'A', data: address })),
      // That there is no other record (section 6.1), so that whoever asks for an IPv6 address too need not wait: pages are served by IPv4.
      additionals: [{ ...common, type: 'NSEC', data: { nextDomain: this.#host, rrtypes: ['A'] } }],
    });
  }
}

const keyOf = (links: readonly Link[]): string => links.map(({ address, netmask }) => `${address}/${netmask}`).join();

/** The class of a question, in words where it is a plain one. */
const classOf = (question: Question): string => String(question.class ?? 'IN');
