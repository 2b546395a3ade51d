import { describe, expect, it } from 'vitest';
import type { Command } from '../../node/core/commands.ts';
import { Levels } from '../../node/core/levels.ts';
import { guards } from '../../node/guards/list.ts';
import { Pipeline } from '../../node/pipeline/pipeline.ts';
import { compileShow } from '../../node/playback/compile.ts';
import { freshState, reduce } from '../../node/playback/reduce.ts';
import type { Show } from '../../node/show/document.ts';
import { press, release } from '../helpers/offline.ts';
import { everybody, head, only, par, place, tinyShow } from '../helpers/tiny-show.ts';
import { demoNames, demoShow, members } from '../show/demo-show.ts';
import { flashes, mostInOneSecond, together } from '../show/flash-count.ts';
import { anglesOf, type Head, hazeOf, headsOf, rayOf, type Slots, shineOf, widthOf } from './wire-reader.ts';

const FRAME = 25;
/** Each button in turn, for so long. */
const EACH = 14_000;

/** The rules, as seconds, metres, degrees and shares: what guests may see. */
const EYES = { from: 0.8, to: 1.9 };
const MAY_REST = 6;
/** A beam that has rested goes down in two seconds. */
const GOES_DOWN = 2;
const CELL = 0.25;
const NEAREST = 2;
/** WCAG 2.2, success criterion 2.3.1. */
const MOST_FLASHES = 3;

/** All that is pressed in an evening, button after button: haze is permitted from the middle on, and a blackout comes in every seventh. */
function scriptOf({ buttons, hits }: Show): [at: number, command: Command][] {
  const held = new Set(hits.map(({ id }) => id));
  const all = buttons.flatMap(({ id, starts }, i): [number, Command][] => {
    const at = i * EACH;
    const isHit = starts.some((ref) => 'hit' in ref && held.has(ref.hit));
    return [
      [at, press(id)],
      ...(isHit ? [[at + 3000, release(id)] as [number, Command]] : []),
      ...(i % 7 === 6
        ? ([
            [at + 5000, { do: 'blackout', on: true }],
            [at + 7000, { do: 'blackout', on: false }],
          ] as [number, Command][])
        : []),
    ];
  });
  return [...all, [(EACH * buttons.length) / 2, { do: 'allow-haze', on: true }] as [number, Command]].sort(([a], [b]) => a - b);
}

/** Where a beam lies on the layer of eyes, at the middle of its height; undefined where it goes past. */
function amongEyes(head: Head, slots: Slots): { readonly x: number; readonly y: number; readonly radius: number } | undefined {
  const ray = rayOf(head, ...anglesOf(head, slots));
  if (ray === undefined) return undefined;
  const [x, y, z] = ray.from as unknown as [number, number, number];
  const [dx, dy, dz] = ray.to as unknown as [number, number, number];
  const ends = [(EYES.from - z) / dz, (EYES.to - z) / dz].sort((a, b) => a - b) as [number, number];
  const near = Math.max(NEAREST, ends[0]);
  if (ends[1] <= near) return undefined;
  const s = (near + ends[1]) / 2;
  const at = { x: x + s * dx, y: y + s * dy, radius: s * Math.tan((widthOf(head, slots) * Math.PI) / 360) };
  // Behind the booth nobody is, says each of these shows.
  return Math.abs(at.x) <= 1.5 && Math.abs(at.y + 4) <= 1 ? undefined : at;
}

/** Spells of cells under a beam, with breaks of less than a second bridged. */
class Spells {
  readonly #cells = new Map<string, { since: number; last: number }>();

  /** @returns seconds for which the cell has been lit that has been longest */
  light({ x, y, radius }: { readonly x: number; readonly y: number; readonly radius: number }, at: number): number {
    let longest = 0;
    for (let i = Math.floor((x - radius) / CELL); i * CELL <= x + radius; i++)
      for (let j = Math.floor((y - radius) / CELL); j * CELL <= y + radius; j++) {
        if (Math.hypot((i + 0.5) * CELL - x, (j + 0.5) * CELL - y) > radius) continue;
        const known = this.#cells.get(`${i} ${j}`);
        const since = known === undefined || at - known.last > 1000 ? at : known.since;
        this.#cells.set(`${i} ${j}`, { since, last: at });
        longest = Math.max(longest, (at - since) / 1000);
      }
    return longest;
  }
}

/** Whether what was pressed last to aim each head means it to rest. */
class Focused {
  readonly #rests = new Map<string, boolean>();

  press(show: Show, id: string): void {
    for (const ref of show.buttons.find((one) => one.id === id)?.starts ?? []) {
      if ('look' in ref)
        for (const { who, aim, focus } of show.looks.find((one) => one.id === ref.look)?.parts ?? [])
          if (aim !== undefined) for (const member of members(show, who)) this.#rests.set(member, focus === true);
      if ('movement' in ref)
        for (const member of members(show, show.movements.find((one) => one.id === ref.movement)?.who ?? []))
          this.#rests.set(member, false);
    }
  }

  has = (id: string): boolean => this.#rests.get(id) === true;
}

/** Plays a whole evening and reads every frame of every universe. @returns what broke a rule, each once */
function brokenIn(show: Show, rules = guards): string[] {
  const compiled = compileShow(show);
  const levels = new Levels(compiled.rig.universes);
  const pipeline = Pipeline.for(compiled, levels, rules);
  const slots: Slots = (universe) => levels.slots(universe);
  const script = scriptOf(show);
  const heads = headsOf(show);
  const broken = new Set<string>();
  const focused = new Focused();
  const spells = new Map(heads.map((head) => [head, new Spells()]));
  const light = new Map(show.fixtures.map(({ id }) => [id, [] as number[]]));
  let last: (readonly [number, number])[] = [];
  let [state, next, allowed] = [freshState(compiled, 0), 0, false];
  let darkSince = Number.POSITIVE_INFINITY;
  for (let at = 0; at <= show.buttons.length * EACH; at += FRAME) {
    for (let due = script[next]; due !== undefined && due[0] <= at; due = script[++next]) {
      const [, command] = due;
      state = reduce(compiled, state, command, at, next + 1);
      if (command.do === 'press') focused.press(show, command.button);
      if (command.do === 'allow-haze') allowed = command.on;
      if (command.do === 'blackout') darkSince = command.on ? at : Number.POSITIVE_INFINITY;
    }
    pipeline.run(state, at);
    const isDark = at >= darkSince;
    if (hazeOf(show, slots) > 0 && (!allowed || isDark)) broken.add('haze that nobody has permitted, or in a blackout');
    for (const fixture of show.fixtures) {
      const shine = shineOf(fixture, slots);
      if (isDark && shine > 0) broken.add(`${fixture.name} is lit in a blackout`);
      light.get(fixture.id)?.push(shine);
    }
    const angles = heads.map((head) => anglesOf(head, slots));
    for (const [i, head] of heads.entries()) {
      const [now, before] = [angles[i], last[i]] as [readonly [number, number], readonly [number, number] | undefined];
      const { name, id } = head.fixture;
      for (const axis of [0, 1] as const) {
        // As fast as the type declares, and a step of 16 bits.
        const most = head.fastest[axis] * (FRAME / 1000) * 1.01 + 0.02;
        if (before !== undefined && Math.abs(now[axis] - before[axis]) > most) broken.add(`${name} turns too fast`);
      }
      const where = shineOf(head.fixture, slots) > 0.05 && !focused.has(id) ? amongEyes(head, slots) : undefined;
      if (where === undefined) continue;
      if ((spells.get(head) as Spells).light(where, at) > MAY_REST + GOES_DOWN)
        broken.add(`${name} rests where guests look into it`);
    }
    last = angles;
  }
  const most = mostInOneSecond(together([...light.values()].map((one) => flashes(one, FRAME / 1000))));
  if (most > MOST_FLASHES) broken.add(`${most} flashes in a second`);
  return [...broken];
}

/** Guidance and rules: WCAG 2.2 for flashes; the rest is common practice, no source. */
describe('a whole demo evening, every frame of every universe read from the slots', () => {
  it.each(demoNames)('of %s breaks no rule', (name) => {
    expect(brokenIn(demoShow(name))).toEqual([]);
  });
});

/** It breaks every rule: haze that nobody asked about, heads that jump and stand on the floor, a par that flashes ten times a second. */
const hostile = tinyShow({
  fixtures: [
    { ...head('beam', 1), pose: { x: 0, y: -2, z: 4, put: 'hung', facing: 90, forward: 0, aside: 0 } },
    { ...par('par', 21) },
    place('hazer', 'hazer', '2ch', 41),
  ],
  looks: [
    { id: 'stare', fade: 0, parts: [{ who: only('beam'), level: 1, zoom: 10, aim: { pan: 0, tilt: 30 } }] },
    { id: 'jump', fade: 0, parts: [{ who: only('beam'), level: 1, zoom: 10, aim: { pan: 250, tilt: -30 } }] },
    { id: 'haze', fade: 0, parts: [{ who: everybody, haze: 1 }] },
    // From here on until the end, over the blackout: every seventh button brings one.
    { id: 'steady', fade: 0, parts: [{ who: only('par'), level: 1, colour: '#ffffff' }] },
    { id: 'stare-again', fade: 0, parts: [{ who: only('beam'), level: 1, zoom: 10, aim: { pan: 0, tilt: 30 } }] },
    { id: 'jump-back', fade: 0, parts: [{ who: only('beam'), level: 1, zoom: 10, aim: { pan: -250, tilt: -30 } }] },
    { id: 'full', fade: 0, parts: [{ who: only('par'), level: 1, colour: '#ffffff' }] },
  ],
  chases: [
    {
      id: 'ten-hertz',
      fade: 0,
      steps: [1, 0].map((level) => ({ length: { seconds: 0.05 }, parts: [{ who: only('par'), level, colour: '#ffffff' }] })),
    },
  ],
});

describe('a show that breaks every rule', () => {
  it('is tamed', () => {
    expect(brokenIn(hostile)).toEqual([]);
  });

  it.each([
    ['haze', 'haze that nobody has permitted, or in a blackout'],
    ['motion', 'beam turns too fast'],
    ['dwell', 'beam rests where guests look into it'],
    ['flash', 'flashes in a second'],
    ['blackout', 'is lit in a blackout'],
  ])('is seen to break what the guard "%s" is there for when that is taken out', (name, what) => {
    const compiled = compileShow(hostile);
    const others = guards.filter((build) => build(compiled, compiled.rig).name !== name);
    expect(others.length).toBe(guards.length - 1);
    expect(brokenIn(hostile, others).join('; ')).toContain(what);
  });
});
