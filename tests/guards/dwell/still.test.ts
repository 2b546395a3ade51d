import { describe, expect, it } from 'vitest';
import { dwell } from '../../../node/guards/dwell/dwell.ts';
import { compileShow } from '../../../node/playback/compile.ts';
import { render } from '../../../node/playback/render.ts';
import type { Pose } from '../../../node/rig/pose.ts';
import { Offline, press, START } from '../../helpers/offline.ts';
import { ordinary } from '../../helpers/ordinary.ts';
import { everybody, par, place, tinyShow } from '../../helpers/tiny-show.ts';

/** Hung at 4 m, 45 degrees out of true: its light goes over the floor among faces, some metres off. */
const leaning: Pose = { x: 0, y: 0, z: 4, put: 'hung', facing: 0, forward: 45, aside: 0 };
const pinspot = (id: string, address: number) => place(id, 'pinspot', '1ch', address);

const axes = (from: number, part?: number) =>
  (['Pan', 'Tilt', 'Dimmer'] as const).map((attribute, i) => ({
    slot: from + i,
    ...(part === undefined ? {} : { part }),
    functions: [attribute === 'Dimmer' ? { attribute } : { attribute, physical: [-180, 180] as [number, number] }],
  }));

const show = tinyShow({
  fixtureTypes: [
    {
      id: 'twin',
      name: 'Two heads on a bar',
      modes: [{ id: '6ch', name: '6 channels', channels: [...axes(1, 1), ...axes(4, 2)] }],
    },
    {
      id: 'soft',
      name: 'Head with a soft edge',
      beam: { angle: 4, field: 40 },
      modes: [{ id: '3ch', name: '3 channels', channels: axes(1) }],
    },
  ],
  fixtures: [
    { ...pinspot('leaning', 1), pose: leaning },
    { ...pinspot('loose', 2) },
    { ...pinspot('up', 3), pose: { ...leaning, z: 0, put: 'standing', forward: 0 } },
    { ...pinspot('cake', 4), pose: leaning, use: 'centrepiece' },
    { ...par('wash', 10), pose: leaning },
    { ...place('twin', 'twin', '6ch', 20), pose: { ...leaning, forward: 0 } },
    { ...place('soft', 'soft', '3ch', 30), pose: { ...leaning, forward: 0 } },
  ],
  landmarks: [{ id: 'floor', name: 'Floor', x: 3, y: 0, z: 1.4 }],
  looks: [{ id: 'all', fade: 0, parts: [{ who: everybody, level: 1 }] }],
  movements: [
    {
      id: 'round',
      figure: 'circle',
      who: [{ fixture: 'soft' }],
      size: { width: 0.8, depth: 0.8 },
      period: { seconds: 12 },
      fade: 0,
      aim: { landmark: 'floor' },
    },
  ],
});
const compiled = compileShow(show);
const { rig } = compiled;
const cell = (id: string, name: 'Dimmer' | 'Tilt', part = 0): number =>
  rig.byId
    .get(id)
    ?.lamps.find((lamp) => lamp.part === part)
    ?.cells.get(name) ?? -1;

/** Some seconds of everything at full; `aim` moves what the show leaves alone. */
function playedFor(seconds: number, aim: (frame: Float64Array) => void = () => undefined) {
  const guard = dwell(show, rig);
  const memory = guard.memory();
  const night = new Offline(show, [
    [0, press('all')],
    [0, press('round')],
  ]);
  const frame = new Float64Array(rig.rest.length);
  for (let at = 0; at <= seconds * 1000; at += 25) {
    render(night.show, night.state(at), START + at, frame, night.canvas);
    aim(frame);
    guard.step(frame, { ...ordinary, now: START + at }, memory);
  }
  return {
    level: (id: string, part = 0) => frame[cell(id, 'Dimmer', part)],
    warned: [...(guard.warns?.of(memory) ?? [])].map((place) => show.fixtures[place]?.id),
  };
}

describe('a lamp that does not turn', () => {
  it('is judged where its place and its narrow beam are known, and not where it goes up, washes or belongs to a centrepiece', () => {
    const told = playedFor(8);
    expect(told.level('leaning')).toBeCloseTo(0.1, 6);
    for (const id of ['loose', 'up', 'cake', 'wash']) expect(told.level(id), id).toBe(1);
  });
});

describe('a lamp with several heads', () => {
  it('is dimmed by the head that rests among eyes, and not as a whole', () => {
    const told = playedFor(8, (frame) => {
      frame[cell('twin', 'Tilt', 1)] = 45;
      frame[cell('twin', 'Tilt', 2)] = 150;
    });
    expect(told.level('twin', 1)).toBeCloseTo(0.1, 6);
    expect(told.level('twin', 2)).toBe(1);
  });
});

describe('a beam that moves on while its edge rests', () => {
  it('is told, and not dimmed', () => {
    expect(playedFor(2).warned).toEqual([]);
    const told = playedFor(20);
    expect(told.level('soft')).toBe(1);
    expect(told.warned).toContain('soft');
    // What is dimmed is told as such.
    expect(told.warned).not.toContain('leaning');
  });
});
