import { type Answer, decode, encode, type Packet } from 'dns-packet';
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
const LOOK_EVERY: Millis = 2000;

export interface NameParts {
  /** Undefined while the system cannot say. */
  readonly links: () => readonly Link[] | undefined;
  readonly openUdp: OpenUdp;
  readonly clock: Clock;
  readonly log: Log;
}

/** One network that the name is answered for on, with the addresses that are valid there (section 6.2: those and no others). */
interface Network {
  readonly addresses: readonly string[];
  readonly socket: UdpSocket;
  answeredAt: Millis;
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
    if (this.#networks.size === 0) this.#parts.log(`No network is up: phones find ${this.#host} as soon as one is.`);
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
    for (const [name, { addresses, socket }] of this.#networks) {
      if (wanted.get(name)?.join() === addresses.join()) continue;
      socket.close();
      this.#networks.delete(name);
    }
    // Only of a network that is as it was: what fails while an address changes is over by now.
    for (const [name, network] of this.#networks) this.#complain(name, network);
    for (const [name, addresses] of wanted) if (!this.#networks.has(name)) this.#networks.set(name, this.#open(addresses));
  }

  /** IPv4 addresses by interface; undefined where the system does not say. */
  #wanted(): Map<string, string[]> | undefined {
    const wanted = new Map<string, string[]>();
    try {
      for (const { name, family, address, internal } of this.#parts.links() ?? [])
        if (family === 'IPv4' && !internal) wanted.set(name, [...(wanted.get(name) ?? []), address]);
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

  #open(addresses: readonly string[]): Network {
    const { openUdp, clock } = this.#parts;
    const socket = openUdp({
      family: 'IPv4',
      port: PORT,
      multicastInterface: addresses[0] ?? '',
      multicastTtl: IP_TTL,
      groups: [GROUP],
      // Multicast that comes in by any interface is heard here, so a question on one network is answered on the others too.
      onMessage: (data, from) => {
        const now = clock.now();
        if (!this.#isAsked(data, from.address) || now - network.answeredAt < ANSWER_EVERY) return;
        network.answeredAt = now;
        socket.send(this.#answer(addresses), PORT, GROUP);
      },
      onError: (code) => {
        network.trouble = code;
      },
    });
    const network: Network = { addresses, socket, answeredAt: Number.NEGATIVE_INFINITY };
    return network;
  }

  #isAsked(data: Uint8Array, from: string): boolean {
    let packet: Packet;
    try {
      packet = decode(Buffer.from(data.buffer, data.byteOffset, data.byteLength));
    } catch {
      this.#parts.log.once('name malformed', `What ${from} sent to port ${PORT} is no question for a name; it was passed over.`);
      return false;
    }
    if (packet.type === 'response') this.#lookForAnother(packet, from);
    return (
      packet.type === 'query' &&
      (packet.questions ?? []).some(({ name, type }) => name.toLowerCase() === this.#host && ['A', 'AAAA', 'ANY'].includes(type))
    );
  }

  /** Two that answer for one name (section 9): a phone reaches now this one, now that. Our own answers come back to us too. */
  #lookForAnother({ answers = [], additionals = [] }: Packet, from: string): void {
    const own = new Set([...this.#networks.values()].flatMap(({ addresses }) => addresses));
    const isOther = (one: Answer) => one.type === 'A' && one.name.toLowerCase() === this.#host && !own.has(one.data);
    if (own.has(from) || ![...answers, ...additionals].some(isOther)) return;
    this.#parts.log.once(
      'name twice',
      `Another machine, ${from}, is called ${this.#host} as well: phones may reach either. Give this node another name.`,
    );
  }

  #answer(addresses: readonly string[]): Uint8Array {
    return encode({
      type: 'response',
      flags: AUTHORITATIVE,
      answers: addresses.map((data) => ({ name: this.#host, type: 'A', ttl: RECORD_TTL, flush: true, data })),
      // That there is no other record (section 6.1), so that whoever asks for an IPv6 address too need not wait: pages are served by IPv4.
      additionals: [
        { name: this.#host, type: 'NSEC', ttl: RECORD_TTL, flush: true, data: { nextDomain: this.#host, rrtypes: ['A'] } },
      ],
    });
  }
}
