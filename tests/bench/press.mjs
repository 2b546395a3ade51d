import { Agent, request } from 'node:http';
import process from 'node:process';
import { now, pause, report } from './common.mjs';
import { openEar } from './ear.mjs';
import { startEngine } from './engine.mjs';
import { startNode } from './node.mjs';
import { HIGH, LOW, restlessShow, sacnTo } from './show.mjs';
import { openSink } from './sink.mjs';

const UNIVERSES = 16;

const [, , way = 'engine', playing = 'still'] = process.argv;
const still = playing === 'still';
const start = still ? [] : undefined;
/** Where all moves a press waits for the refresh limit, by chance for long or short: the median needs many. */
const presses = still ? 40 : 160;

let heard = () => undefined;
const ear = await openEar((at, level) => heard(at, level));
const sink = await openSink();
const others = Array.from({ length: UNIVERSES - 1 }, (_, i) => i + 2);
const document = restlessShow(UNIVERSES, { start });
const outputs = [sacnTo('ear', ear.port, [1]), sacnTo('sink', sink.port, others)];

/** The main thread's hand on the engine, without web server and store. */
async function byEngine() {
  const { engine } = await startEngine(document, outputs);
  return { press: (button) => engine.command({ do: 'press', button }), stop: () => engine.stop() };
}

/** The whole node, asked over HTTP as the command line asks it. */
async function byHttp() {
  const node = await startNode(document, outputs);
  const { url, token } = await node.access();
  const headers = { authorization: `Bearer ${token}`, 'content-type': 'application/json' };
  const agent = new Agent({ keepAlive: true });
  const press = (button) =>
    new Promise((resolve, reject) => {
      const asked = request(`${url}/api/local/play/command`, { method: 'POST', headers, agent }, (answer) => {
        answer.resume();
        if (answer.statusCode === 204) resolve();
        else reject(new Error(`the node answered ${answer.statusCode}`));
      });
      asked.once('error', reject);
      asked.end(JSON.stringify({ do: 'press', button }));
    });
  return { press, stop: () => node.stop() };
}

const { press, stop } = way === 'engine' ? await byEngine() : await byHttp();
await pause(2000);
const delays = [];
for (let i = 0; i < presses; i++) {
  // Presses fall anywhere in a frame; where nothing moves, the one before has had its three repeats.
  await pause((still ? 120 : 30) + 50 * Math.random());
  const [button, wanted] = i % 2 === 0 ? ['high', HIGH] : ['low', LOW];
  const arrived = new Promise((resolve) => {
    heard = (at, level) => level === wanted && resolve(at);
  });
  const pressed = now();
  await press(button);
  delays.push((await arrived) - pressed);
}
await stop();
report(delays);
