import { describe, expect, it } from 'vitest';
import type { Link, Output, OutputHost } from '../../node/core/ports.ts';
import type { Universe } from '../../node/core/units.ts';
import { OutputRig } from './output-rig.ts';
import type { SentDatagram } from './recording-udp.ts';

/** What the suite has to know of an output to judge it. Its universes are 1 and 2. */
export interface OutputCase {
  readonly name: string;
  readonly build: (host: OutputHost) => Output;
  /** The links that every destination lies behind. */
  readonly links: readonly Link[];
  /** Where each universe's data must arrive, once a frame: address, and the interface of the socket if that matters. */
  readonly destinations: (universe: Universe) => readonly string[];
  /** Reads a datagram by the standard's offsets, not by our own code; undefined when it carries no levels. */
  readonly read: (bytes: Uint8Array) => { readonly universe: Universe; readonly slots: Uint8Array } | undefined;
  /** What has to happen before data can go: answers to polls. */
  readonly prepare?: (rig: OutputRig) => void;
}

/** What holds for every output, whatever its protocol. */
export function describeOutput(one: OutputCase): void {
  const started = (): OutputRig => {
    const rig = new OutputRig(one.build).start(one.links);
    one.prepare?.(rig);
    return rig;
  };
  const data = (sent: readonly SentDatagram[]) =>
    sent.flatMap(({ bytes, address, socket, at }) => {
      const read = one.read(bytes);
      return read === undefined ? [] : [{ ...read, to: arrival(address, socket.multicastInterface), at }];
    });

  describe(`${one.name}, as any output`, () => {
    it('sends the whole frame to each destination, once', () => {
      const rig = started();
      rig.frames(5000);
      for (const [i, universe] of rig.levels.universes.entries()) {
        for (let slot = 1; slot <= 512; slot++) rig.set(universe, slot, (slot * 7 + i) & 0xff);
      }
      const before = rig.packets;
      const sent = data(rig.frame());
      expect(rig.packets - before).toBe(2);
      for (const universe of rig.levels.universes) {
        const mine = sent.filter((packet) => packet.universe === universe);
        expect(mine.map(({ to }) => to).sort()).toEqual([...one.destinations(universe)].sort());
        for (const { slots } of mine) expect(slots).toEqual(Uint8Array.from(rig.levels.slots(universe)));
      }
    });

    it('sends nothing but inside flush and stop', () => {
      const rig = started();
      rig.frames(1000);
      rig.set(1, 1, 255);
      rig.output.carry([1], rig.clock.now());
      rig.relink([]);
      rig.relink(one.links);
      rig.output.carry([1, 2], rig.clock.now());
      rig.output.report(rig.clock.now());
      expect(rig.network.take()).toEqual([]);
    });

    it('sends nothing after stop, and leaves no socket open', () => {
      const rig = started();
      rig.frames(1000);
      rig.stop();
      expect(rig.network.open.size).toBe(0);
      rig.set(1, 1, 255);
      rig.relink([]);
      rig.relink(one.links);
      rig.output.carry([1, 2], rig.clock.now());
      expect(rig.frames(15_000)).toEqual([]);
      expect(rig.stop()).toEqual([]);
      expect(rig.network.open.size).toBe(0);
    });

    it('lives through a network that refuses every send, and says when that began and ended', () => {
      const rig = started();
      rig.frames(1000);
      expect(rig.output.report(rig.clock.now()).state).toBe('sending');
      const lines = rig.network.log.length;
      rig.network.failWith = 'ENETUNREACH';
      rig.frames(5000);
      const failing = rig.output.report(rig.clock.now());
      expect(failing.state).toBe('failing');
      expect(failing.errors).toEqual([{ code: 'ENETUNREACH', count: expect.any(Number), lastAt: expect.any(Number) }]);
      expect(failing.errors[0]?.count).toBeGreaterThan(4);
      expect(rig.network.log.slice(lines)).toHaveLength(1);
      rig.network.failWith = undefined;
      rig.frames(5000);
      expect(rig.output.report(rig.clock.now()).state).toBe('sending');
      expect(rig.network.log.slice(lines)).toHaveLength(2);
    });

    it('drops and counts while its links are away, and tells everybody the whole frame when they are back', () => {
      const rig = started();
      rig.frames(5000);
      const before = rig.output.report(rig.clock.now());
      rig.relink([]);
      rig.set(1, 5, 99);
      expect(data(rig.frames(5000))).toEqual([]);
      const away = rig.output.report(rig.clock.now());
      expect(away.state).toBe('waiting');
      expect(away.packets).toBe(before.packets);
      expect(away.dropped).toBeGreaterThan(before.dropped);
      rig.relink(one.links);
      one.prepare?.(rig);
      const back = data(rig.frames(100));
      expect(rig.output.report(rig.clock.now()).state).toBe('sending');
      for (const universe of rig.levels.universes) {
        const mine = back.filter((packet) => packet.universe === universe);
        for (const to of one.destinations(universe)) {
          expect(mine.find((packet) => packet.to === to)?.slots).toEqual(Uint8Array.from(rig.levels.slots(universe)));
        }
      }
    });

    it('repeats a change three times, then keeps alive every 800 to 1000 ms', () => {
      const rig = started();
      rig.frames(5000);
      rig.set(1, 1, 200);
      const [to] = one.destinations(1);
      const times = data(rig.frames(60_000))
        .filter((packet) => packet.universe === 1 && packet.to === to)
        .map(({ at }) => at);
      const gaps = times.slice(1).map((at, i) => at - (times[i] ?? 0));
      expect(gaps.slice(0, 3)).toEqual([25, 25, 25]);
      expect(gaps.length).toBeGreaterThan(50);
      for (const gap of gaps.slice(3)) {
        expect(gap).toBeGreaterThanOrEqual(800);
        expect(gap).toBeLessThanOrEqual(1000);
      }
    });

    // Art-Net 4 recommends what E1.31-2018 section 6.6.2 asks for. Half of the frames come up to 20 ms late.
    it.each(Array.from({ length: 44 }, (_, i) => i + 1))('keeps alive every 800 to 1000 ms at %i frames a second', (rate) => {
      const rig = started();
      const [to] = one.destinations(1);
      let count = 0;
      const step = (): number => 1000 / rate + (count++ % 2 === 0 ? 20 : -20);
      const times = data(rig.frames(30_000, step))
        .filter((packet) => packet.universe === 1 && packet.to === to)
        .map(({ at }) => at);
      const gaps = times.slice(1).map((at, i) => at - (times[i] ?? 0));
      // The picture and its three repeats, and at low rates perhaps a keep-alive behind each.
      const kept = gaps.slice(8);
      expect(kept.length).toBeGreaterThan(20);
      expect(Math.min(...kept)).toBeGreaterThanOrEqual(800);
      expect(Math.max(...gaps)).toBeLessThanOrEqual(1000);
    });

    it('tells everybody again when it is asked to, as after a change', () => {
      const rig = started();
      const [to] = one.destinations(1);
      rig.frames(5000);
      rig.output.repeat();
      const times = data(rig.frames(1500))
        .filter((packet) => packet.universe === 1 && packet.to === to)
        .map(({ at }) => at);
      const gaps = times.slice(1).map((at, i) => at - (times[i] ?? 0));
      expect(gaps.slice(0, 3)).toEqual([25, 25, 25]);
      expect(gaps[3]).toBeGreaterThanOrEqual(800);
    });

    it('does without links, universes and levels', () => {
      const idle = new OutputRig(one.build);
      expect(idle.frames(1000)).toEqual([]);
      idle.output.carry([1, 2, 77], idle.clock.now());
      idle.frames(1000);
      expect(idle.output.report(idle.clock.now()).state).toBe('waiting');
      idle.stop();
    });

    it('reports in plain data', () => {
      const rig = started();
      rig.frames(3000);
      const report = rig.output.report(rig.clock.now());
      expect(structuredClone(report)).toEqual(report);
      expect(report.universes.map(({ universe }) => universe)).toEqual([1, 2]);
      for (const { packets, lastSentAt } of report.universes) {
        expect(packets).toBeGreaterThan(0);
        expect(rig.clock.now() - (lastSentAt ?? 0)).toBeLessThanOrEqual(1000);
      }
    });
  });
}

/** How a datagram arrives: by its address, and for multicast by the interface that it left by. */
export const arrival = (address: string, multicastInterface?: string): string =>
  multicastInterface === undefined ? address : `${address} by ${multicastInterface}`;
