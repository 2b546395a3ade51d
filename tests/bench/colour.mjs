import process from 'node:process';
import { built, report } from './common.mjs';

const { Levels } = await built('core/levels.js');
const { Pipeline } = await built('pipeline/pipeline.js');
const { compileShow } = await built('playback/compile.js');
const { freshState, reduce } = await built('playback/reduce.js');
const { checkShow } = await built('show/read.js');

/** What the colours of 200 fixtures of six emitters cost in a tick: all alike and still, all alike in a fade, every one another in a fade. */
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
const show = checkShow({
  format: 'duskhand-show',
  version: 2,
  id: 'bench',
  name: 'Bench',
  theme: { name: 'None', colours: [] },
  fixtures: Array.from({ length: COUNT }, (_, i) => ({
    id: `lamp-${i}`,
    name: `Lamp ${i}`,
    type: 'six-colour-par',
    mode: '8ch',
    universe: 1 + Math.floor(i / 60),
    address: 1 + (i % 60) * 8,
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
const compiled = compileShow(show);

function ticks(...buttons) {
  const levels = new Levels(compiled.rig.universes);
  const pipeline = Pipeline.for(compiled, levels);
  const state = buttons.reduce(
    (before, button, i) => reduce(compiled, before, { do: 'press', button }, i),
    freshState(compiled, 0),
  );
  for (let i = 0; i < TICKS; i++) pipeline.run(state, 1000 + i * 25);
  const from = process.cpuUsage();
  for (let i = 0; i < TICKS; i++) pipeline.run(state, 60_000 + i * 25);
  const { user, system } = process.cpuUsage(from);
  return { cpu: (user + system) / TICKS };
}

report({ count: COUNT, still: ticks('red').cpu, alike: ticks('red', 'alike').cpu, unlike: ticks('red', 'unlike').cpu });
