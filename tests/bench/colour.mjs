import process from 'node:process';
import { equalTo, lessEq, solve } from 'yalps';
import { built, report } from './common.mjs';

const { Levels } = await built('core/levels.js');
const { LampColour } = await built('light/lamp-colour.js');
const { emitterAt } = await built('light/emitter.js');
const { attribute } = await built('core/attributes.js');
const { Pipeline } = await built('pipeline/pipeline.js');
const { compileShow } = await built('playback/compile.js');
const { freshState, reduce } = await built('playback/reduce.js');
const { SHOW_VERSION } = await built('show/document.js');
const { checkShow } = await built('show/read.js');

/**
 * What the colours of 200 fixtures cost in a tick: all alike and still, all alike in a fade, every one another in a fade; and the mixing of
 * them alone, beside the same programmes by a general solver.
 */
const COUNT = 200;
const TICKS = 400;
const hue = (i) =>
  `#${[0, 8, 4]
    .map((k) =>
      Math.round(128 + 120 * Math.sin(i * 0.7 + k))
        .toString(16)
        .padStart(2, '0'),
    )
    .join('')}`;
const everybody = [{ all: true }];
const all = ['R', 'G', 'B', 'W', 'RY', 'GY', 'C', 'BM', 'M', 'Y', 'GC', 'BC', 'RM', 'WW', 'CW'].map((one) => `ColorAdd_${one}`);

function showOf(names) {
  const channels = ['Dimmer', ...names].map((name, i) => ({ slot: i + 1, functions: [{ attribute: name }] }));
  return checkShow({
    format: 'duskhand-show',
    version: SHOW_VERSION,
    id: 'bench',
    name: 'Bench',
    theme: { name: 'None', colours: [] },
    fixtureTypes: [{ id: 'many', name: 'Many emitters', modes: [{ id: 'm', name: 'M', channels }] }],
    fixtures: Array.from({ length: COUNT }, (_, i) => ({
      id: `lamp-${i}`,
      name: `Lamp ${i}`,
      type: 'many',
      mode: 'm',
      universe: 1 + Math.floor(i / 30),
      address: 1 + (i % 30) * 16,
      use: 'uplight',
    })),
    looks: [
      { id: 'red', name: 'Red', fade: 0, parts: [{ who: everybody, level: 1, colour: '#c04030' }] },
      { id: 'alike', name: 'Alike', fade: 3600, parts: [{ who: everybody, colour: '#3060ff' }] },
      {
        id: 'unlike',
        name: 'Unlike',
        fade: 3600,
        parts: [{ who: everybody, colour: Array.from({ length: COUNT }, (_, i) => hue(i)) }],
      },
    ],
    buttons: ['red', 'alike', 'unlike'].map((id) => ({ id, name: id, starts: [{ look: id }] })),
  });
}

/** CPU, in microseconds, of one of `count` runs. */
function cpuOf(count, run) {
  const from = process.cpuUsage();
  for (let i = 0; i < count; i++) run(i);
  const { user, system } = process.cpuUsage(from);
  return (user + system) / count;
}

function tick(compiled, ...buttons) {
  const levels = new Levels(compiled.rig.universes);
  const pipeline = Pipeline.for(compiled, levels);
  const state = buttons.reduce(
    (before, button, i) => reduce(compiled, before, { do: 'press', button }, i),
    freshState(compiled, 0),
  );
  for (let i = 0; i < TICKS; i++) pipeline.run(state, 1000 + i * 25);
  return cpuOf(TICKS, (i) => pipeline.run(state, 60_000 + i * 25));
}

/** Another colour for every lamp, and in every tick. */
function mixing(names) {
  const lamp = new LampColour(names, {});
  const colours = new Float64Array(3 * COUNT);
  const out = new Float64Array(names.length);
  const run = (t) => {
    for (let i = 0; i < COUNT; i++) {
      colours[3 * i] = 0.6;
      colours[3 * i + 1] = 0.08 * Math.sin(i + t / 100);
      colours[3 * i + 2] = 0.08 * Math.cos(i * 1.7 + t / 70);
      lamp.mix(colours, 3 * i, out);
    }
  };
  for (let i = 0; i < TICKS; i++) run(i);
  // Nothing is collected meanwhile: the young generation is larger than what could come together.
  globalThis.gc();
  const heap = process.memoryUsage().heapUsed;
  const cpu = cpuOf(TICKS, run);
  return { cpu, heap: (process.memoryUsage().heapUsed - heap) / TICKS };
}

/** The same at a few steps of 255, where levels are rounded so that the hue stays. */
function lowSteps(names) {
  const lamp = new LampColour(names, {});
  const colours = new Float64Array(3);
  const out = new Float64Array(names.length);
  const run = (t) => {
    for (let i = 0; i < COUNT; i++) {
      colours[0] = 0.6;
      colours[1] = 0.08 * Math.sin(i + t / 100);
      colours[2] = 0.08 * Math.cos(i * 1.7 + t / 70);
      lamp.mix(colours, 0, out);
      const scale = 0.001 + 0.00015 * (i % 200);
      for (let k = 0; k < out.length; k++) out[k] *= scale;
      lamp.settle(out, 1 / 255);
    }
  };
  for (let i = 0; i < TICKS; i++) run(i);
  return cpuOf(TICKS, run);
}

/** The same by yalps, as one programme for every colour. */
function general(names) {
  const emitters = names.map((name) => emitterAt(...attribute(name).emitter));
  const bounds = Object.fromEntries(names.map((name) => [name, lessEq(1)]));
  return cpuOf(5, (t) => {
    for (let i = 0; i < COUNT; i++) {
      const x = 0.32 + 0.05 * Math.sin(i + t / 100);
      const y = 0.33 + 0.05 * Math.cos(i * 1.7 + t / 70);
      const variables = Object.fromEntries(
        emitters.map(({ X, Y, Z }, k) => [names[k], { flux: Y, p: X - (x / y) * Y, q: Z - ((1 - x - y) / y) * Y, [names[k]]: 1 }]),
      );
      solve({ direction: 'maximize', objective: 'flux', constraints: { p: equalTo(0), q: equalTo(0), ...bounds }, variables });
    }
  });
}

const of = (count) => {
  const names = all.slice(0, count);
  const compiled = compileShow(showOf(names));
  return {
    emitters: count,
    still: tick(compiled, 'red'),
    alike: tick(compiled, 'red', 'alike'),
    unlike: tick(compiled, 'red', 'unlike'),
    mixing: mixing(names),
    low: lowSteps(names),
    general: general(names),
  };
};
report({ count: COUNT, lamps: [of(8), of(15)] });
