import { describe, expect, it } from 'vitest';
import { amongEyes, crowdOf, MOST_AMONG, PLACE } from '../../../node/guards/dwell/crowd.ts';
import { type DwellMemory, dwell } from '../../../node/guards/dwell/dwell.ts';
import { light, noSpells } from '../../../node/guards/dwell/spells.ts';
import { compileShow } from '../../../node/playback/compile.ts';
import { render } from '../../../node/playback/render.ts';
import type { Pose } from '../../../node/rig/pose.ts';
import type { Landmark } from '../../../node/show/document.ts';
import { Offline, press, START } from '../../helpers/offline.ts';
import { ordinary } from '../../helpers/ordinary.ts';
import { everybody, head, tinyShow } from '../../helpers/tiny-show.ts';

const hung = (x: number, y: number): Pose => ({ x, y, z: 4, put: 'hung', facing: 0, forward: 0, aside: 0 });

/** Hung at 4 m: straight down, level with faces, over everybody's heads, and along. */
const show = tinyShow({
  fixtures: [{ ...head('a', 1), pose: hung(0, 0) }, { ...head('b', 13), pose: hung(0, 3) }, head('loose', 25)],
  landmarks: [
    { id: 'floor', name: 'Floor', x: 3, y: 0, z: 0 },
    { id: 'ceiling', name: 'Ceiling', x: 3, y: 0, z: 5 },
    { id: 'bar', name: 'Behind the bar', x: -3, y: 0, z: 0, area: { width: 4, depth: 4, turned: 0 }, people: 'none' },
  ],
  looks: [
    { id: 'rest', fade: 0, parts: [{ who: everybody, level: 1, aim: { landmark: 'floor' } }] },
    { id: 'focus', fade: 0, parts: [{ who: everybody, level: 1, aim: { landmark: 'floor' }, focus: true }] },
    { id: 'above', fade: 0, parts: [{ who: everybody, level: 1, aim: { landmark: 'ceiling' } }] },
    { id: 'nobody', fade: 0, parts: [{ who: everybody, level: 1, aim: { landmark: 'bar' } }] },
    { id: 'angles', fade: 0, parts: [{ who: everybody, level: 1, aim: { pan: 0, tilt: 40 } }] },
    { id: 'level', fade: 0, parts: [{ who: everybody, level: 0.5 }] },
  ],
  movements: [
    {
      id: 'ring',
      figure: 'circle',
      who: everybody,
      size: { width: 2, depth: 2 },
      period: { seconds: 12 },
      fade: 0,
      aim: { landmark: 'floor' },
    },
    {
      id: 'creep',
      figure: 'circle',
      who: everybody,
      size: { width: 0.1, depth: 0.1 },
      period: { seconds: 4 },
      fade: 0,
      aim: { landmark: 'floor' },
    },
    {
      id: 'turn',
      figure: 'circle',
      who: everybody,
      size: { pan: 30, tilt: 30 },
      period: { seconds: 12 },
      fade: 0,
      aim: { pan: 0, tilt: 40 },
    },
  ],
});
const compiled = compileShow(show);
const guard = dwell(show, compiled.rig);

/** Share of its level that a head has at the end of so many seconds of some buttons, 40 frames in each. */
function lightAfter(
  seconds: number,
  buttons: readonly string[],
  { fixture = 'a', memory = guard.memory() }: { fixture?: string; memory?: DwellMemory } = {},
): number {
  const night = new Offline(
    show,
    buttons.map((button) => [0, press(button)] as const),
  );
  const dimmer = compiled.rig.byId.get(fixture)?.lamps[0].cells.get('Dimmer') as number;
  let share = 1;
  for (let at = 0; at <= seconds * 1000; at += 25) {
    const frame = new Float64Array(compiled.rig.rest.length);
    render(night.show, night.state(at), START + at, frame, night.canvas);
    const asked = frame[dimmer] as number;
    guard.step(frame, { ...ordinary, now: START + at }, memory);
    share = (frame[dimmer] as number) / asked;
  }
  return share;
}

describe('a beam that rests where guests may look into it', () => {
  it('is dimmed softly once it has been there for as long as it may, and counts from half at a start', () => {
    // Six seconds less the half that nobody knows of.
    expect(lightAfter(2.9, ['rest'])).toBe(1);
    expect(lightAfter(4, ['rest'])).toBeLessThan(1);
    expect(lightAfter(4, ['rest'])).toBeGreaterThan(0.4);
    expect(lightAfter(6, ['rest'])).toBeCloseTo(0.1, 2);
  });

  it('comes back when it has moved on', () => {
    const memory = guard.memory();
    lightAfter(6, ['rest'], { memory });
    const later = new Offline(show, [[0, press('above')]]);
    const frame = new Float64Array(compiled.rig.rest.length);
    const dimmer = compiled.rig.byId.get('a')?.lamps[0].cells.get('Dimmer') as number;
    for (let at = 0; at <= 1200; at += 25) {
      render(later.show, later.state(at), START + at, frame, later.canvas);
      guard.step(frame, { ...ordinary, now: START + 6000 + at }, memory);
    }
    expect(frame[dimmer]).toBe(1);
  });

  it('says which lights it holds', () => {
    const memory = guard.memory();
    lightAfter(6, ['rest'], { memory });
    // The one without a place has not moved either: it stood where it was.
    expect([...(guard.held?.(memory) ?? [])]).toEqual([0, 1, 2]);
  });

  it('is one that hardly moves, too', () => {
    expect(lightAfter(9, ['level', 'creep'])).toBeLessThan(0.2);
  });

  it('is let go on when it is meant to rest there, and only for as long as that aims it', () => {
    expect(lightAfter(20, ['focus'])).toBe(1);
    expect(lightAfter(20, ['focus', 'creep'])).toBeLessThan(0.2);
  });

  it('is none that moves on, that goes over everybody, or where nobody is', () => {
    expect(lightAfter(30, ['level', 'ring'])).toBe(1);
    expect(lightAfter(20, ['above'])).toBe(1);
    expect(lightAfter(20, ['nobody'])).toBe(1);
  });

  it('of a head without a place is known by its motion alone', () => {
    expect(lightAfter(9, ['angles'], { fixture: 'loose' })).toBeLessThan(0.2);
    expect(lightAfter(30, ['level', 'turn'], { fixture: 'loose' })).toBe(1);
    expect(lightAfter(20, ['angles', 'focus'], { fixture: 'loose' })).toBeLessThan(0.2);
  });

  it('keeps what it knows of a lamp when the show is changed', () => {
    const memory = guard.memory();
    lightAfter(6, ['rest'], { memory });
    const again = guard.memory(structuredClone(memory));
    expect(again).toEqual(memory);
  });

  it('breaks of less than a second are bridged', () => {
    const memory = guard.memory();
    const night = new Offline(show, [[0, press('rest')]]);
    const frame = new Float64Array(compiled.rig.rest.length);
    const dimmer = compiled.rig.byId.get('a')?.lamps[0].cells.get('Dimmer') as number;
    for (let at = 0; at <= 9000; at += 25) {
      render(night.show, night.state(at), START + at, frame, night.canvas);
      const dark = at % 1000 >= 200;
      if (dark) frame[dimmer] = 0;
      guard.step(frame, { ...ordinary, now: START + at }, memory);
    }
    expect(memory.share[0]).toBeLessThan(0.5);
  });
});

/** Slab test, `facts/light.md` 8: from (0, 0, 4) along (0.6, 0, -0.8) a layer of 0.8 to 1.9 m is between s = 2.625 and 4. */
describe('where a beam goes among eyes', () => {
  const places = new Float64Array(MOST_AMONG);
  const ray = Float64Array.of(0, 0, 4, 0.6, 0, -0.8);

  it('is where it is between 0.8 and 1.9 m', () => {
    const count = amongEyes(crowdOf([]), ray, places);
    const distances = Array.from(places.subarray(0, count)).filter((_, i) => i % PLACE === 3);
    expect(distances[0]).toBeCloseTo(2.625, 9);
    expect(distances.at(-1)).toBeCloseTo(4, 9);
  });

  it('is nowhere for one that goes up, or over their heads', () => {
    expect(amongEyes(crowdOf([]), Float64Array.of(0, 0, 2.5, 0.6, 0, 0.8), places)).toBe(0);
    expect(amongEyes(crowdOf([]), Float64Array.of(0, 0, 2.5, 1, 0, 0), places)).toBe(0);
    expect(amongEyes(crowdOf([]), Float64Array.of(0, 0, 1.5, 1, 0, 0), places)).toBeGreaterThan(0);
  });

  it('is where an area says that people are, and not where it says that nobody is', () => {
    const area = { width: 10, depth: 10, turned: 30 };
    const stage: Landmark = { id: 'stage', order: 'm', name: 'Stage', x: 2, y: 0, z: 1, area, people: { from: 1.4, to: 2.3 } };
    const count = amongEyes(crowdOf([stage]), ray, places);
    const heights = Array.from(places.subarray(0, count)).flatMap((s, i) => (i % PLACE === 3 ? [4 - 0.8 * s] : []));
    expect(Math.max(...heights)).toBeCloseTo(2.3, 9);
    expect(Math.min(...heights)).toBeCloseTo(1.4, 9);
    expect(amongEyes(crowdOf([{ ...stage, people: 'none' }]), ray, places)).toBe(0);
  });

  it('is over a balcony that a level beam comes to far away, and over each of two, wherever else they are in the show', () => {
    const at = (x: number, id: string): Landmark => ({
      id,
      order: id,
      name: id,
      x,
      y: 0,
      z: 3,
      area: { width: 2, depth: 4, turned: 0 },
      people: { from: 3.5, to: 5 },
    });
    const crowd = crowdOf([at(40, 'a'), at(-10, 'b'), at(20, 'c'), at(10, 'd')]);
    for (const rise of [-0.02, 0, 0.02]) {
      const count = amongEyes(crowd, Float64Array.of(0, 0, 4, Math.sqrt(1 - rise ** 2), 0, rise), places);
      const xs = Array.from(places.subarray(0, count)).filter((_, i) => i % PLACE === 1);
      for (const middle of [10, 20]) expect(xs.some((x) => Math.abs(x - middle) <= 1 + 1e-9)).toBe(true);
    }
  });
});

/** The longest spell of any cell, looked for by going through all cells of the floor. */
it('spells are those of the cell that was lit longest, worked out cell by cell', () => {
  const spells = noSpells(1);
  const all = new Map<string, { since: number; last: number }>();
  let seed = 7;
  const random = (): number => {
    seed = (seed * 1103515245 + 12345) % 2 ** 31;
    return seed / 2 ** 31;
  };
  let [x, y] = [0, 0];
  for (let now = 0; now < 60_000; now += 25) {
    x += (random() - 0.5) * 0.08;
    y += (random() - 0.5) * 0.08;
    const radius = 0.5;
    const since = light(spells, 0, x, y, radius, 0, now, now);
    let longest = now;
    for (let i = -20; i < 20; i++)
      for (let j = -20; j < 20; j++) {
        const [dx, dy] = [x - Math.min((i + 1) * 0.25, Math.max(i * 0.25, x)), y - Math.min((j + 1) * 0.25, Math.max(j * 0.25, y))];
        if (dx * dx + dy * dy > radius * radius) continue;
        const known = all.get(`${i} ${j}`);
        const begun = known === undefined || now - known.last > 1000 ? now : known.since;
        all.set(`${i} ${j}`, { since: begun, last: now });
        longest = Math.min(longest, begun);
      }
    expect(since).toBe(longest);
  }
});
