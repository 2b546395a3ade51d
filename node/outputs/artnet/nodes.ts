import type { NodeReport } from '../../core/report.ts';
import type { Hertz, Millis, PortAddress } from '../../core/units.ts';
import { ARTNET_PORT } from './packets.ts';
import type { ParsedPollReply } from './parse.ts';
import type { Subscriber } from './stream.ts';

/** Answering ports that are remembered. When all places are taken newcomers are turned away: those that light the room stay. */
const MOST_NODES = 512;
/** Subscribers of one Port-Address. Replies can be forged, and each costs a datagram a frame. */
const MOST_SUBSCRIBERS = 32;
/**
 * Our choice, and a deviation: Art-Net calls a node gone that has not answered within 3 s. One lost datagram would then put lights out,
 * so a node has to leave three polls in a row unanswered, and is sent to for some 8 to 9 s after the first of them.
 */
const MISSED_POLLS = 3;

interface Node {
  report: NodeReport;
  /** Rounds of polling that have ended since it was heard, the one that it was heard in included. */
  rounds: number;
}

/** The ports that answer our polls, and what they subscribe to. */
export class Nodes {
  readonly #nodes = new Map<string, Node>();
  #changed = false;

  /** Takes in an ArtPollReply that came from `address`; whether that one may be sent to at all is asked last, as it costs the most. */
  heard({ reply, outputs }: ParsedPollReply, address: string, now: Millis, mayBeSentTo: () => boolean): void {
    // A device that puts nothing out, another controller say, needs one place only.
    if (outputs.length === 0 && reply.bindIndex > 1) return;
    const key = keyOf(reply, address);
    const known = this.#nodes.get(key);
    if (known === undefined && this.#nodes.size >= MOST_NODES) return;
    if (!mayBeSentTo()) return;
    const { bindIndex, shortName, longName, nodeReport, mac, refreshRate } = reply;
    const report = { address, bindIndex, shortName, longName, report: nodeReport, mac, outputs, refreshRate, lastSeenAt: now };
    if (known === undefined ? outputs.length > 0 : !asksTheSame(report, known.report)) this.#changed = true;
    if (known === undefined) this.#nodes.set(key, { report, rounds: 0 });
    else {
      known.report = report;
      known.rounds = 0;
    }
  }

  /** The time for answers to a poll is over. Counted in polls, not in milliseconds: an engine that stalled loses nobody by it. */
  roundOver(): void {
    for (const [key, node] of this.#nodes) {
      if (node.rounds++ < MISSED_POLLS) continue;
      this.#nodes.delete(key);
      if (node.report.outputs.length > 0) this.#changed = true;
    }
  }

  /** Whether the subscriptions differ from when this was last asked. */
  takeChanged(): boolean {
    const changed = this.#changed;
    this.#changed = false;
    return changed;
  }

  /** Who subscribes to what. A machine with several ports on one Port-Address gets it once, at the pace of its slowest. */
  subscriptions(): ReadonlyMap<PortAddress, readonly Subscriber[]> {
    const all = new Map<PortAddress, Map<string, Subscriber>>();
    for (const { report } of this.#nodes.values()) {
      const { address, refreshRate, outputs } = report;
      for (const portAddress of outputs) {
        const there = all.get(portAddress) ?? new Map<string, Subscriber>();
        all.set(portAddress, there);
        const known = there.get(address);
        if (known === undefined && there.size >= MOST_SUBSCRIBERS) continue;
        there.set(address, { address, port: ARTNET_PORT, rate: slower(known?.rate ?? 0, refreshRate) });
      }
    }
    return new Map([...all].map(([portAddress, there]) => [portAddress, [...there.values()]]));
  }

  report(): NodeReport[] {
    return [...this.#nodes.values()].map(({ report }) => report);
  }
}

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
