import { EventEmitter } from 'node:events';
import type { Worker } from 'node:worker_threads';
import { afterEach, beforeEach, expect, it, vi } from 'vitest';
import { HeardLevels } from '../../node/core/heard.ts';
import { artnetSettings, type OutputSettings, sacnSettings } from '../../node/core/output-settings.ts';
import type { OutputReport } from '../../node/core/report.ts';
import type { HeardOfLate, Watch } from '../../node/monitor/messages.ts';
import { LISTENS_FOR, Monitor } from '../../node/monitor/monitor.ts';
import { recordedLog } from '../helpers/recorded-log.ts';

const NOW = 100_000;
const sacn: OutputSettings = sacnSettings.parse({ id: 'sacn', protocol: 'sacn', interface: 'eth0' });
const artnet: OutputSettings = artnetSettings.parse({ id: 'artnet', protocol: 'artnet', portAddresses: { 1: 256 } });

/** The worker's end of the line. */
class Ear extends EventEmitter {
  readonly watched: Watch[] = [];
  postMessage(watch: Watch): void {
    this.watched.push(watch);
  }
  hears(what: Partial<HeardOfLate>): void {
    this.emit('message', { kind: 'heard', sources: [], previews: [], streams: [], ...what });
  }
  async terminate(): Promise<number> {
    return 0;
  }
}

let ear: Ear;
let reports: OutputReport[];
let monitor: Monitor;
beforeEach(() => {
  vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout'] });
  ear = new Ear();
  reports = [];
  const worker = (): Worker => ear as unknown as Worker;
  monitor = new Monitor({ cid: new Uint8Array(16), reports: () => reports, log: recordedLog(), worker });
  monitor.start();
});
afterEach(async () => {
  await monitor.stop();
  vi.useRealTimers();
});

const levels = (...slots: readonly number[]): SharedArrayBuffer => {
  const heard = new HeardLevels();
  heard.take(Uint8Array.from(slots));
  return heard.memory;
};
const source = (universe: number, cid: string, memory = levels(1)) => ({
  ...{ universe, cid, name: 'Desk', address: '192.0.2.7', priority: 100, perSecond: 40, lastSeenAt: NOW, levels: memory },
});
const stream = (portAddress: number, memory = levels(1)) => ({
  ...{ portAddress, address: '192.0.2.8', perSecond: 30, lastSeenAt: NOW, levels: memory },
});

it('listens on other universes for ten seconds behind a question, and then on its own alone again', () => {
  monitor.setUniverses([1], [sacn]);
  monitor.listen([1, 5], NOW);
  expect(ear.watched.at(-1)).toMatchObject({ universes: [1, 5], interfaces: ['eth0'], artnet: true });
  const asked = ear.watched.length;
  vi.advanceTimersByTime(LISTENS_FOR - 1);
  // Asked again in time nothing is begun anew.
  monitor.listen([1, 5], NOW);
  vi.advanceTimersByTime(LISTENS_FOR - 1);
  expect(ear.watched).toHaveLength(asked);
  vi.advanceTimersByTime(1);
  expect(ear.watched.at(-1)).toMatchObject({ universes: [1], interfaces: ['eth0'], artnet: false });
});

it('listens by every interface where nothing is sent, and only when it is asked', () => {
  monitor.setUniverses([1], []);
  expect(ear.watched.at(-1)?.interfaces).toEqual([]);
  monitor.listen([1], NOW);
  expect(ear.watched.at(-1)?.interfaces).toEqual([undefined]);
});

it('tells of each sender once, with all its universes and the newest levels', () => {
  monitor.setUniverses([1, 2], [sacn]);
  const memory = levels(1, 2, 3);
  ear.hears({ sources: [source(2, 'aa'), source(1, 'aa', memory), source(1, 'bb')], previews: ['Drawing'], streams: [stream(2)] });
  new HeardLevels(memory).take(Uint8Array.of(9, 8));
  const { senders, previews, artnet: heard } = monitor.listen([1, 2], NOW);
  expect(senders.map(({ id, universes }) => [id, universes.map(({ universe, slots }) => [universe, [...slots]])])).toEqual([
    [
      'sacn-aa',
      [
        [1, [9, 8]],
        [2, [1]],
      ],
    ],
    ['sacn-bb', [[1, [1]]]],
    ['artnet-192.0.2.8', [[2, [1]]]],
  ]);
  expect({ previews, heard }).toEqual({ previews: ['Drawing'], heard: [1, 2] });
  // Other universes than its own are no business of the wire page.
  ear.hears({ sources: [source(5, 'aa'), source(1, 'bb')] });
  expect(monitor.sources(NOW).map(({ universe }) => universe)).toEqual([1]);
});

it('hears Art-Net by an output of its own where there is one, by its Port-Addresses and on what it sends', () => {
  monitor.setUniverses([1], [artnet]);
  const base = { protocol: 'artnet', state: 'sending', towards: '', packets: 0, dropped: 0, errors: [], universes: [] } as const;
  reports = [{ ...base, id: 'artnet', foreign: [stream(256, levels(7))] }];
  ear.hears({ streams: [stream(1)] });
  const { senders, artnet: heard } = monitor.listen([1, 5], NOW);
  expect(senders).toMatchObject([{ protocol: 'artnet', universes: [{ universe: 1, slots: Uint8Array.of(7) }] }]);
  expect(heard).toEqual([1]);
  expect(ear.watched.at(-1)?.artnet).toBe(false);
});

it('tells of no sACN source that is lost', () => {
  monitor.setUniverses([1], [sacn]);
  ear.hears({ sources: [source(1, 'aa')] });
  // E1.31-2018 section 6.7.1.
  expect(monitor.listen([1], NOW + 2499).senders).toHaveLength(1);
  expect(monitor.listen([1], NOW + 2500).senders).toEqual([]);
});
