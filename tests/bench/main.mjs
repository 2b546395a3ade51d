import { fork } from 'node:child_process';
import { cpus, loadavg, release } from 'node:os';
import process from 'node:process';
import { built, file, histogram, median, now, quantile } from './common.mjs';
import { evenness } from './evenness.mjs';

/**
 * Measures, in one run and on one machine, what is said of speed, beside what it is compared with. Ratios travel from machine to machine,
 * absolute numbers do not. It judges nobody: the exit code says only whether it could measure.
 */
const print = (text = '') => process.stdout.write(`${text}\n`);
const begun = now();

/** Runs one part in a process of its own, so that parts do not spoil each other. */
function measure(part, words = [], execArgv = []) {
  const child = fork(file(part), words, { execArgv, stdio: ['ignore', 'ignore', 'inherit', 'ipc'] });
  return new Promise((resolve, reject) => {
    child.once('message', resolve);
    child.once('exit', (code) => reject(new Error(`${part} ended with ${code} before it had measured`)));
  });
}

function row(what, measured, aim = '', met = undefined) {
  const mark = met === undefined ? '' : met ? 'pass' : 'SHORT';
  print(`  ${what.padEnd(50)} ${measured.padStart(22)}  ${aim.padEnd(16)} ${mark}`);
}
const fixed = (value, digits = 2) => value.toFixed(digits);
const heading = (text) => print(`\n${text}`);

async function cost() {
  heading('CPU time of a packet, 16 universes flat out, all of them changing: µs, from the cheapest twentieth of 150 rounds');
  const costs = await measure('cost.mjs', [], ['--expose-gc']);
  // Whatever else runs on the machine only makes a round dearer: the cheapest are nearest to the truth.
  const usual = (key) => quantile(costs[key], 0.05);
  const ratio = (one, other) => usual(one) / usual(other);
  for (const [name, key] of [
    ['raw dgram, sACN size', 'rawSacn'],
    ['our sACN output', 'ourSacn'],
    ['npm e131', 'e131'],
    ['raw dgram, Art-Net size', 'rawArtnet'],
    ['our Art-Net output', 'ourArtnet'],
    ['npm dmxnet', 'dmxnet'],
  ])
    row(name, `${fixed(usual(key))} µs`);
  const sacn = ratio('ourSacn', 'rawSacn');
  const artnet = ratio('ourArtnet', 'rawArtnet');
  const dmxnet = ratio('dmxnet', 'ourArtnet');
  row('our sACN beside raw dgram', `${fixed(sacn)} times`, 'at most 1.15', sacn <= 1.15);
  row('our Art-Net beside raw dgram', `${fixed(artnet)} times`, 'at most 1.15', artnet <= 1.15);
  row('dmxnet beside our Art-Net', `${fixed(dmxnet)} times`, 'at least 3', dmxnet >= 3);
  row('e131 beside our sACN', `${fixed(ratio('e131', 'ourSacn'))} times`);
}

async function interval() {
  heading(
    'Frame interval at a receiver, 64 universes at 40 Hz, main thread with 50 clients and stalls of 50 ms: ms (ours draws 193 lamps)',
  );
  const series = { engine: [], dmxnet: [] };
  for (let round = 0; round < 2; round++) {
    for (const way of ['engine', 'dmxnet']) series[way].push(...(await measure('interval.mjs', [way])));
  }
  const worst = {};
  for (const [way, name] of [
    ['engine', 'our engine thread'],
    ['dmxnet', 'setInterval and dmxnet'],
  ]) {
    const off = series[way].map((value) => Math.abs(value - 25));
    worst[way] = Math.max(...off);
    const [p50, p99, p999] = [0.5, 0.99, 0.999].map((share) => fixed(quantile(series[way], share), 1));
    row(name, `${p50} / ${p99} / ${p999}`, 'p50/p99/p99.9');
    row('  worst deviation from 25 ms', `${fixed(worst[way], 1)} ms`);
    print(`    deviations  ${histogram(off)}`);
  }
  const ratio = worst.dmxnet / worst.engine;
  row('worst deviation, dmxnet beside ours', `${fixed(ratio, 1)} times`, 'at least 8', ratio >= 8);
}

async function press() {
  heading('From a press to the first datagram with the new level, 16 universes: ms');
  for (const [name, way, playing] of [
    ['Engine.command, nothing moves', 'engine', 'still'],
    ['Engine.command, a chase on all universes', 'engine', 'chase'],
    ['HTTP POST, nothing moves', 'http', 'still'],
    ['HTTP POST, a chase on all universes', 'http', 'chase'],
  ]) {
    const delays = await measure('press.mjs', [way, playing]);
    const middle = median(delays);
    row(`${name}: median`, `${fixed(middle, 1)} ms`, 'at most 12.5', middle <= 12.5);
    row('  p95, worst', `${fixed(quantile(delays, 0.95), 1)} / ${fixed(Math.max(...delays), 1)}`);
  }
}

async function takeover() {
  heading('A show is taken over while another one plays: longest gap at a receiver beside the frame of 25 ms');
  for (const [name, which] of [
    ['one look of 300 changed, 200 lamps', 'look'],
    ['a show of a megabyte: 200 lamps, 300 looks', 'megabyte'],
    ['1920 bars of cells', 'bars'],
  ]) {
    const { gap, compiled, took, bytes } = await measure('takeover.mjs', [which]);
    row(`${name}: gap`, `${fixed(gap / 25, 1)} frames`, 'at most 2', gap <= 50);
    row('  document; compiled; handed over and taken', `${fixed(bytes / 1e6)} MB, ${fixed(compiled, 0)}, ${fixed(took, 0)} ms`);
  }
}

async function edits() {
  heading('An edit of one look, 211 lamps that move, 300 looks; a bench looks on');
  const { delays, gap, perEdit, size } = await measure('edits.mjs');
  const middle = median(delays);
  row('from asking to the wire: median', `${fixed(middle, 1)} ms`, 'at most 50', middle <= 50);
  row('  p95, worst', `${fixed(quantile(delays, 0.95), 1)} / ${fixed(Math.max(...delays), 1)}`);
  row('while a level is pulled, an edit every 150 ms: longest gap', `${fixed(gap / 25, 1)} frames`, 'at most 2', gap <= 50);
  row('what is sent of an edit, beside a show', `${fixed(perEdit.request, 0)} B of ${fixed(size / 1000, 0)} kB`);
  row('  told to a bench; and of the show itself', `${fixed(perEdit.change, 0)} B; ${fixed(perEdit.hello / 1000, 1)} kB`);
}

async function running() {
  heading('A running node');
  const { starts, few, many, guarded } = await measure('running.mjs');
  row(
    'process start to first datagram, demo show: median',
    `${fixed(median(starts), 0)} ms`,
    'at most 1000',
    median(starts) <= 1000,
  );
  row('  worst of 5', `${fixed(Math.max(...starts), 0)} ms`);
  for (const [name, node] of [
    ['4 universes, 121 lamps', few],
    ['64 universes, 1921 lamps', many],
  ]) {
    row(`${name}: memory`, `${fixed(node.rss, 0)} MB`);
    row('  share of a core, engine thread / process', `${fixed(node.engine * 100, 1)} / ${fixed(node.process * 100, 1)} %`);
  }
  row('64 universes, 200 lamps, 60 of them heads in a hall, every guard: memory', `${fixed(guarded.rss, 0)} MB`);
  row('  share of a core, engine thread', `${fixed(guarded.engine * 100, 1)} %`, 'at most 12', guarded.engine <= 0.12);
  row('  process', `${fixed(guarded.process * 100, 1)} %`);
}

async function heap() {
  heading('Heap that is allocated, 64 universes, all of them changing');
  const { draw, sacn, artnet, dgram, greediest } = await measure('heap.mjs');
  row('drawing a frame', `${fixed(draw, 0)} B a frame`, 'a few hundred', draw <= 500);
  row('our sACN output', `${fixed(sacn, 0)} B a frame`, 'a few hundred', sacn <= 500);
  row('our Art-Net output', `${fixed(artnet, 0)} B a frame`, 'a few hundred', artnet <= 500);
  row('dgram itself', `${fixed(dgram, 0)} B a packet`);
  for (const [name, bytes] of greediest) row(`  ${name}`, `${fixed(bytes, 0)} B a frame`);
}

async function drawing() {
  heading('Making ready: 301 lamps, 302 looks, a chase of 64 steps in which 200 lamps wear a colour each, to be matched');
  const { whole, edit, drawn, through, cells } = await measure('drawing.mjs');
  row('all of it', `${fixed(whole, 0)} ms`);
  row('after an edit of one look', `${fixed(edit, 1)} ms`);
  heading(`A frame, 64 universes (${cells} values), all of them changing: share of the 25 ms that it has`);
  row('what plays', `${fixed(drawn * 1000, 0)} µs, ${fixed(drawn * 4, 1)} %`);
  row('all the way to the slots', `${fixed(through * 1000, 0)} µs, ${fixed(through * 4, 1)} %`);
}

async function colour() {
  heading('Colour in the tick: 200 lamps, CPU of it; every colour is mixed anew');
  const { lamps } = await measure('colour.mjs', [], ['--expose-gc', '--min-semi-space-size=64']);
  for (const { emitters, still, alike, unlike, mixing, low, general } of lamps) {
    const most = emitters > 8 ? 2000 : 1000;
    const aim = `at most ${most / 1000}`;
    row(`${emitters} emitters, 200 fading colours: mixing them`, `${fixed(mixing.cpu / 1000)} ms`, aim, mixing.cpu <= most);
    row('  all of them in their lowest steps', `${fixed(low / 1000)} ms`);
    row('  heap', `${fixed(mixing.heap, 0)} B a frame`, 'a few hundred', mixing.heap <= 500);
    row('  the same by a general solver (yalps)', `${fixed(general / mixing.cpu, 0)} times`);
    row('  whole frame: stack, guards, colours, slots', `${fixed(unlike / 1000)} ms`);
    row('  beside one colour, still and fading', `${fixed(unlike / still, 1)}, ${fixed(unlike / alike, 1)} times`);
  }
}

async function fades() {
  heading('A fade in white from dark to full: largest step of L* (CIE 15) in each twentieth of it, in half percents (0.5 is even)');
  const [{ library }, { layOut }, { Levels }, { Encoder }, { attribute }] = await Promise.all(
    ['rig/library.js', 'rig/rig.js', 'core/levels.js', 'dmx/encode.js', 'core/attributes.js'].map(built),
  );
  const bars = '·▁▂▃▄▅▆▇█';
  for (const { what, bits, steps, worst, litFrom } of evenness({ library, layOut, Levels, Encoder, attribute })) {
    const most = Array.from({ length: 20 }, (_, i) => Math.max(...steps.slice(1 + 10 * i, 11 + 10 * i)));
    const chart = most.map((one) => bars[Math.min(8, Math.round(one * 2))]).join('');
    row(what, `${bits} bit ${chart}`, `${fixed(worst)}, lit from ${fixed(100 * litFrom, 1)} %`);
  }
}

print(
  `Node ${process.version}, ${cpus().length} × ${cpus()[0]?.model ?? 'CPU'}, ${process.platform} ${release()}, load ${fixed(loadavg()[0], 1)}`,
);
if (loadavg()[0] > 1) print('The machine is busy with other things: intervals and delays will be worse than they need be.');
const parts = { cost, interval, press, takeover, edits, running, drawing, heap, colour, fades };
const asked = process.argv.slice(2);
for (const [name, part] of Object.entries(parts)) if (asked.length === 0 || asked.includes(name)) await part();
print(`\nMeasured in ${fixed((now() - begun) / 1000, 0)} s.`);
