import type { Link, Neighbourhood } from '../core/ports.ts';
import type { Millis } from '../core/units.ts';
import { familyOf, isLoopback } from './subnet.ts';

/** RFC 863: what comes to this port is thrown away. */
const DISCARD_PORT = 9;
const NOTHING = new Uint8Array(0);
/** How often the system is given cause to ask while it is asking: it repeats a question by itself, but gives up after three seconds. */
const ASK_AGAIN: Millis = 250;
/** For so long after a question an answer is looked for between frames, so often. */
const ANSWERS_WITHIN: Millis = 20;
const LOOK_AGAIN: Millis = 2;
/** Where a question showed that the system needs no hardware address, it is not put again for so long. */
const NEEDS_NONE_FOR: Millis = 1000;
/** Linux gives a neighbour up after three questions, a second apart: then it is said to be silent. */
const SILENT_AFTER: Millis = 3000;
/** Receivers that are remembered; more are those of a flood of forged replies, and begin the memory afresh. */
const MOST_RECEIVERS = 1024;

interface Receiver {
  /** The link that it is asked for by; none where the system needs no hardware address. */
  readonly link: Link | undefined;
  readonly six: boolean;
  /** The look that the judgement belongs to. */
  look: number;
  open: boolean;
  /** Since when nothing can go there; not a number while it can. */
  since: Millis;
  askedAt: Millis;
  needsNoneUntil: Millis;
}

/**
 * Holds back what the system could not send at once. For a receiver whose hardware address it does not know (RFC 826), Linux keeps some
 * 160 datagrams while it asks, and lets them go all together when it has the answer: a second of old frames, after a cut of the cable of
 * 20 ms. So it is made to ask by an empty datagram that nobody reads, and frames go when it knows.
 * For IPv6 it does not show what it knows; there only the carrier is looked at.
 */
export class Neighbours {
  readonly #system: Neighbourhood;
  readonly #linkTo: (address: string) => Link | undefined;
  readonly #send: (packet: Uint8Array, port: number, address: string) => void;
  readonly #receivers = new Map<string, Receiver>();
  #looks = 0;
  /** How many are held back. */
  #held = 0;
  #askedAt: Millis = Number.NEGATIVE_INFINITY;

  constructor(
    system: Neighbourhood,
    linkTo: (address: string) => Link | undefined,
    send: (packet: Uint8Array, port: number, address: string) => void,
  ) {
    this.#system = system;
    this.#linkTo = linkTo;
    this.#send = send;
  }

  /** Before the sends of a frame. @returns whether somebody can be sent to again who could not. */
  look(now: Millis): boolean {
    this.#looks++;
    this.#system.look();
    if (this.#held === 0) return false;
    const before = this.#held;
    for (const [address, receiver] of this.#receivers) if (!receiver.open) this.#judge(address, receiver, now);
    return this.#held < before;
  }

  /** Whether a datagram to `address` would leave at once. */
  reaches(address: string, now: Millis): boolean {
    const receiver = this.#receivers.get(address) ?? this.#meet(address);
    if (receiver.look !== this.#looks) this.#judge(address, receiver, now);
    return receiver.open;
  }

  /** The links have changed: everybody may lie elsewhere. */
  forget(): void {
    this.#receivers.clear();
    this.#held = 0;
  }

  /** Whether anybody is held back. */
  get holding(): boolean {
    return this.#held > 0;
  }

  /** When it is worth a look whether a neighbour has answered; infinite: not before the next frame. */
  dueAt(now: Millis): Millis {
    return this.#held > 0 && now - this.#askedAt < ANSWERS_WITHIN ? now + LOOK_AGAIN : Number.POSITIVE_INFINITY;
  }

  /** Whether `address` has not answered for so long that it is worth telling. */
  isSilent(address: string, now: Millis): boolean {
    return now - (this.#receivers.get(address)?.since ?? Number.NaN) >= SILENT_AFTER;
  }

  #meet(address: string): Receiver {
    if (this.#receivers.size >= MOST_RECEIVERS) this.forget();
    const near = isLoopback(address) ? undefined : this.#linkTo(address);
    const receiver = {
      link: near?.internal ? undefined : near,
      six: familyOf(address) === 'IPv6',
      look: -1,
      open: true,
      since: Number.NaN,
      askedAt: Number.NEGATIVE_INFINITY,
      needsNoneUntil: Number.NEGATIVE_INFINITY,
    };
    this.#receivers.set(address, receiver);
    return receiver;
  }

  #judge(address: string, receiver: Receiver, now: Millis): void {
    const open = this.#isOpen(address, receiver, now);
    receiver.look = this.#looks;
    if (open === receiver.open) return;
    receiver.open = open;
    receiver.since = open ? Number.NaN : now;
    this.#held += open ? -1 : 1;
  }

  #isOpen(address: string, receiver: Receiver, now: Millis): boolean {
    const { link, six } = receiver;
    if (link === undefined) return true;
    if (six) return this.#system.leads(link.name);
    const state = this.#system.state(address);
    if (state === 'known' || (state === 'none' && now < receiver.needsNoneUntil)) return true;
    if ((state === 'asked' && now - receiver.askedAt < ASK_AGAIN) || !this.#system.leads(link.name)) return false;
    this.#send(NOTHING, DISCARD_PORT, address);
    receiver.askedAt = now;
    this.#askedAt = now;
    this.#system.look();
    const after = this.#system.state(address);
    // There is nothing to ask: this machine itself, a tunnel, a route by way of somebody else.
    if (after === 'none') receiver.needsNoneUntil = now + NEEDS_NONE_FOR;
    return after !== 'asked';
  }
}
