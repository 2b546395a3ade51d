import { describe, expect, test } from 'vitest';
import { Bell } from '../../node/core/bell.ts';
import { Heartbeat } from '../../node/core/heartbeat.ts';
import { Published } from '../../node/core/published.ts';
import type { Role } from '../../node/core/roles.ts';
import type { Millis } from '../../node/core/units.ts';
import { Loop } from '../../node/engine/loop.ts';
import type { FromEngine, ToEngine } from '../../node/engine/messages.ts';
import { partsOf } from '../../node/engine/takeover.ts';
import { compileShow } from '../../node/playback/compile.ts';
import { freshState } from '../../node/playback/reduce.ts';
import { levelOf } from '../helpers/lightness.ts';
import { silentOutput } from '../helpers/silent-output.ts';
import { everybody, tinyShow } from '../helpers/tiny-show.ts';

/** The engine's loop on a clock that stands still between rounds, with a main thread that may fall silent. */
function engine() {
  const show = tinyShow({
    looks: [
      { id: 'alone', fade: 0, unattended: true, parts: [{ who: everybody, level: levelOf(0.2) }] },
      { id: 'watched', fade: 0, parts: [{ who: everybody, level: 1 }] },
    ],
    hits: [{ id: 'bump', longest: 30, parts: [{ who: everybody, level: levelOf(0.6) }] }],
    moments: [
      { id: 'late', name: 'late', at: '02:05', automatic: true, starts: [{ look: 'watched' }], stops: [{ look: 'alone' }] },
    ],
    start: [{ look: 'alone' }],
  });
  const compiled = compileShow(show);
  const published = new Published([1], compiled.rig.rest.length);
  const heartbeat = new Heartbeat();
  const posted: FromEngine[] = [];
  const waiting: ToEngine[] = [];
  let now: Millis = Date.UTC(2030, 5, 15);
  const loop = new Loop(
    {
      clock: { now: () => now, wall: () => now },
      bell: new Bell(),
      heartbeat,
      links: () => [],
      linksKey: () => '',
      buildOutput: () => silentOutput(),
      take: () => waiting.shift(),
      post: (message) => posted.push(message),
    },
    {
      parts: [...partsOf(1, compiled, published.memory, undefined)],
      state: freshState(compiled, now),
      outputs: [{ id: 'none', protocol: 'sacn', to: 'multicast', family: 'IPv4', priority: 100 }],
      rate: 40,
      zone: 'UTC',
    },
  );
  loop.start();
  let number = 0;
  return {
    posted,
    heartbeat,
    slot: () => published.levels.snapshot(1)[0],
    says: (message: ToEngine) => waiting.push(message),
    press: (button: string) => waiting.push({ kind: 'command', number: ++number, command: { do: 'press', button } }),
    now: () => now,
    /** Lets time pass a frame at a time; the bell keeps the loop from really sleeping. */
    pass(millis: Millis, beating: boolean, role: Role = 'operator'): void {
      for (const end = now + millis; now < end; now += 25) {
        if (beating) heartbeat.beat(now, role);
        loop.round();
      }
    },
    /** What it has told of, by the numbers that it was given; what it did by itself has none. */
    told: () => posted.flatMap((one) => (one.kind === 'state' ? one.acted.map(({ command, number }) => [command.do, number]) : [])),
  };
}

describe('A moment of the evening that is automatic', () => {
  test('begins on the wire at its time, in the zone that the node is told', () => {
    const it = engine();
    it.pass(4 * 60_000, true);
    it.says({ kind: 'zone', zone: 'Europe/Berlin' });
    it.pass(58_000, true);
    expect(it.slot()).toBe(51);
    it.pass(4000, true);
    expect(it.slot()).toBe(255);
    expect(it.told()).toEqual([['moment', undefined]]);
  });
});

describe('When the main thread hangs, no beat comes through', () => {
  test('the engine falls back by itself after the allowed silence and the countdown, and tells of it', () => {
    const it = engine();
    it.press('watched');
    it.pass(1000, true);
    expect(it.slot()).toBe(255);
    it.pass(79_000, false);
    expect(it.slot()).toBe(255);
    it.pass(3000, false);
    expect(it.slot()).toBe(51);
    expect(it.told()).toEqual([
      ['press', 1],
      ['fall-back', undefined],
    ]);
  });

  test('a hit lets go after three missed beats, long before its own limit', () => {
    const it = engine();
    it.pass(100, true);
    it.press('bump');
    it.pass(2500, false);
    expect(it.slot()).toBe(153);
    it.pass(1000, false);
    expect(it.slot()).toBe(51);
    expect(it.told()).toEqual([
      ['press', 1],
      ['let-go', undefined],
    ]);
  });

  test('what is driven by hand ends after three missed beats', () => {
    const it = engine();
    it.pass(100, true);
    it.says({ kind: 'by-hand', byHand: { slots: [{ universe: 1, slot: 1, value: 9 }] } });
    it.pass(2500, false);
    expect(it.slot()).toBe(9);
    it.pass(1000, false);
    expect(it.slot()).toBe(51);
  });

  test('while beats come nothing of this happens, for hours', () => {
    const it = engine();
    it.press('watched');
    it.pass(600_000, true);
    expect(it.slot()).toBe(255);
    expect(it.told()).toEqual([['press', 1]]);
  });
});

test('what only an operator may allow ends when only a helper is heard of, and the show goes on', () => {
  const it = engine();
  it.pass(100, true);
  it.press('watched');
  it.says({ kind: 'command', number: 2, command: { do: 'raise-flashes', most: 6, read: true } });
  it.pass(600_000, true, 'helper');
  expect(it.slot()).toBe(255);
  expect(it.told()).toEqual([
    ['press', 1],
    ['raise-flashes', 2],
    ['lower-flashes', undefined],
  ]);
});
