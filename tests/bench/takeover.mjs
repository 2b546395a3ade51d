import process from 'node:process';
import { now, pause, report } from './common.mjs';
import { openEar } from './ear.mjs';
import { startEngine } from './engine.mjs';
import { bigShow, restlessShow, sacnTo } from './show.mjs';
import { openSink } from './sink.mjs';

/** How long the wire stands still while the engine takes a show over. */
const [, , which = 'megabyte'] = process.argv;

/** 1920 bars of four cells, 40 in a universe. */
function bars() {
  const show = restlessShow(1, { beams: 1 });
  const fixtures = Array.from({ length: 1920 }, (_, i) => ({
    id: `bar-${i}`,
    name: `Bar ${i}`,
    type: 'rgb-bar',
    mode: '12ch',
    universe: 2 + Math.floor(i / 40),
    address: 1 + (i % 40) * 12,
    use: 'uplight',
  }));
  return { ...show, fixtures: [...show.fixtures, ...fixtures] };
}

const arrivals = [];
const ear = await openEar((at) => arrivals.push(at));
const sink = await openSink();
const first = which === 'bars' ? restlessShow(1, { beams: 1 }) : bigShow(300);
const second = which === 'bars' ? bars() : bigShow(300, 0.7);
// What the second show adds goes nowhere: it is the taking over that is measured, not the sending.
const { engine, show, compile, dimmed, load } = await startEngine(first, [
  sacnTo('ear', ear.port, [1]),
  sacnTo('sink', sink.port, [2]),
]);
await pause(1500);
const gaps = [];
let compiled = 0;
let took = 0;
for (let round = 0; round < 5; round++) {
  const begun = now();
  const next = which === 'look' ? dimmed('look-7', 0.1 * round) : compile(second);
  compiled += (now() - begun) / 5;
  arrivals.length = 0;
  await pause(200);
  const handed = now();
  await load(next);
  took += (now() - handed) / 5;
  await pause(300);
  gaps.push(Math.max(...arrivals.slice(1).map((at, i) => at - arrivals[i])));
  await load(show);
  await pause(300);
}
await engine.stop();
report({ gap: Math.max(...gaps), compiled, took, bytes: JSON.stringify(second).length });
