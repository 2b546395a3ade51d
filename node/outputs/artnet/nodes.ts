import type { NodeReport } from '../../core/report.ts';
import type { Hertz, Millis, PortAddress } from '../../core/units.ts';
import { ARTNET_PORT } from './packets.ts';
import type { ParsedPollReply } from './parse.ts';
import type { Subscriber } from './stream.ts';

/** Answering ports that are remembered. */
const MOST_NODES = 512;
/** Of one address, so that one machine leaves room for the others: Art-Net 4 counts a machine's ports by BindIndex, one a reply. */
export const MOST_OF_ONE = 128;
/** Subscribers of one Port-Address. Replies can be forged, and each costs a datagram a frame. */
export const MOST_SUBSCRIBERS = 32;
/**
 * Our choice, and a deviation: Art-Net calls a node gone that has not answered within 3 s. One lost datagram would then put lights out,
 * so a node has to leave three polls in a row unanswered, and is sent to for some 8 to 9 s after the first of them.
 */
const MISSED_POLLS = 3;
/** Art-Net 4: an answer follows its poll within a second. Half a second more for the way there and back, and for a frame. */
const ANSWERS_WITHIN: Millis = 1500;

/** How far a port is believed. When all places are taken, a newcomer takes that of the one that was heard longest ago among the least believed. */
const UNASKED = 0;
const ANSWERED = 1;
/** It has answered two polls or more: no flood of forged replies does away with it. */
const PROVEN = 2;

interface Node {
  report: NodeReport;
  /** Rounds of polling that have ended since it was heard, the one that it was heard in included. */
  rounds: number;
  standing: typeof UNASKED | typeof ANSWERED | typeof PROVEN;
  /** Round of polling in which it last answered; -1: in none. */
  answered: number;
}

/** What was turned away since the last round of polling. */
export interface Crowd {
  /** Some ports found no place at all. */
  readonly full: boolean;
  /** Addresses with more ports than one may have. */
  readonly addresses: readonly string[];
}

/** The ports that answer our polls, and what they subscribe to. */
export class Nodes {
  readonly #nodes = new Map<string, Node>();
  readonly #perAddress = new Map<string, number>();
  readonly #greedy = new Set<string>();
  #full = false;
  #changed = false;
  #round = 0;
  #polledAt: Millis = Number.NEGATIVE_INFINITY;

  /** A poll goes out. */
  polled(now: Millis): void {
    this.#polledAt = now;
  }

  /** Takes in an ArtPollReply that came from `address`; whether that one may be sent to at all is asked last, as it costs the most. */
  heard({ reply, outputs }: ParsedPollReply, address: string, now: Millis, mayBeSentTo: () => boolean): void {
    // A device that puts nothing out, another controller say, needs one place only.
    if (outputs.length === 0 && reply.bindIndex > 1) return;
    const key = keyOf(reply, address);
    const known = this.#nodes.get(key);
    const asked = now - this.#polledAt <= ANSWERS_WITHIN;
    const place = known !== undefined || this.#placeFor(address, asked);
    if (place === false || !mayBeSentTo()) return;
    if (typeof place === 'string') this.#forget(place);
    const { bindIndex, shortName, longName, nodeReport, mac, refreshRate } = reply;
    const report = { address, bindIndex, shortName, longName, report: nodeReport, mac, outputs, refreshRate, lastSeenAt: now };
    if (known === undefined ? outputs.length > 0 : !asksTheSame(report, known.report)) this.#changed = true;
    if (known === undefined) this.#begin(key, report, asked);
    else {
      known.report = report;
      known.rounds = 0;
      if (asked) this.#answer(known);
    }
  }

  /** The time for answers to a poll is over. Counted in polls, not in milliseconds: an engine that stalled loses nobody by it. */
  roundOver(): Crowd {
    for (const [key, node] of this.#nodes) if (node.rounds++ >= MISSED_POLLS) this.#forget(key);
    this.#round++;
    const crowd = { full: this.#full, addresses: [...this.#greedy] };
    this.#full = false;
    this.#greedy.clear();
    return crowd;
  }

  /** Whether the subscriptions differ from when this was last asked. */
  takeChanged(): boolean {
    const changed = this.#changed;
    this.#changed = false;
    return changed;
  }

  /**
   * Who subscribes to what, those first who are believed most. A machine with several ports on one Port-Address gets it once, at the pace
   * of its slowest. `left`: how many more asked for a Port-Address than may have it.
   */
  subscriptions(): ReadonlyMap<PortAddress, { readonly subscribers: readonly Subscriber[]; readonly left: number }> {
    const all = new Map<PortAddress, Map<string, Subscriber>>();
    const byStanding = [...this.#nodes.values()].sort((a, b) => b.standing - a.standing);
    for (const { report } of byStanding) {
      const { address, refreshRate, outputs } = report;
      for (const portAddress of outputs) {
        const there = all.get(portAddress) ?? new Map<string, Subscriber>();
        all.set(portAddress, there);
        there.set(address, { address, port: ARTNET_PORT, rate: slower(there.get(address)?.rate ?? 0, refreshRate) });
      }
    }
    return new Map(
      [...all].map(([portAddress, there]) => [
        portAddress,
        { subscribers: [...there.values()].slice(0, MOST_SUBSCRIBERS), left: Math.max(0, there.size - MOST_SUBSCRIBERS) },
      ]),
    );
  }

  report(): NodeReport[] {
    return [...this.#nodes.values()].map(({ report }) => report);
  }

  #begin(key: string, report: NodeReport, asked: boolean): void {
    const node: Node = { report, rounds: 0, standing: UNASKED, answered: -1 };
    if (asked) this.#answer(node);
    this.#nodes.set(key, node);
    this.#perAddress.set(report.address, (this.#perAddress.get(report.address) ?? 0) + 1);
  }

  #answer(node: Node): void {
    if (node.answered === this.#round) return;
    if (node.standing !== PROVEN) {
      node.standing = node.answered === -1 ? ANSWERED : PROVEN;
      this.#changed = true;
    }
    node.answered = this.#round;
  }

  #forget(key: string): void {
    const { report } = this.#nodes.get(key) ?? {};
    if (report === undefined) return;
    this.#nodes.delete(key);
    const left = (this.#perAddress.get(report.address) ?? 1) - 1;
    if (left === 0) this.#perAddress.delete(report.address);
    else this.#perAddress.set(report.address, left);
    if (report.outputs.length > 0) this.#changed = true;
  }

  /** Where a newcomer may stand: the key of a port that has to yield, `true` when there is room, `false` when there is none. */
  #placeFor(address: string, asked: boolean): string | boolean {
    if ((this.#perAddress.get(address) ?? 0) >= MOST_OF_ONE) {
      this.#greedy.add(address);
      return false;
    }
    if (this.#nodes.size < MOST_NODES) return true;
    this.#full = true;
    let least: [string, Node] | undefined;
    for (const entry of this.#nodes) if (least === undefined || isLess(entry[1], least[1])) least = entry;
    if (least === undefined) return true;
    const [key, { standing, answered }] = least;
    // An answer to one poll is a promise to answer the next: until that one has gone by the place is kept.
    return standing === UNASKED || (asked && standing === ANSWERED && answered < this.#round - 1) ? key : false;
  }
}

/** Whether `a` is believed less than `b`, or as much and was heard longer ago. */
const isLess = (a: Node, b: Node): boolean =>
  a.standing === b.standing ? a.report.lastSeenAt < b.report.lastSeenAt : a.standing < b.standing;

/**
 * BindIndex tells the ports of a machine apart. Where a machine does not use it (0), several replies differ by Net and Sub-Net only.
 */
const keyOf = ({ bindIndex, netSwitch, subSwitch }: ParsedPollReply['reply'], address: string): string =>
  bindIndex === 0 ? `${address} ${netSwitch}.${subSwitch}` : `${address} ${bindIndex}`;

const asksTheSame = (a: NodeReport, b: NodeReport): boolean =>
  a.refreshRate === b.refreshRate &&
  a.outputs.length === b.outputs.length &&
  a.outputs.every((output, i) => output === b.outputs[i]);

/** 0 stands for DMX512's own limit, which the engine keeps. */
const slower = (a: Hertz, b: Hertz): Hertz => (a === 0 ? b : b === 0 ? a : Math.min(a, b));
