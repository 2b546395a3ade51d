import { WebSocket } from 'ws';
import { now, pause, report } from './common.mjs';
import { openEar } from './ear.mjs';
import { startNode } from './node.mjs';
import { bigShow, HIGH, LOW, levelOf, sacnTo } from './show.mjs';
import { openSink } from './sink.mjs';

/** How fast a small edit of a large show is at the wire, what a pull costs in frames, and what an edit weighs on its way to every bench. */
const EDITS = 40;
const PULL = 4000;

let heard = () => undefined;
const ear = await openEar((at, level) => heard(at, level));
const sink = await openSink();
const document = bigShow(300);
const others = [2, 3, 4, 5, 6, 7];
const node = await startNode(document, [sacnTo('ear', ear.port, [1]), sacnTo('sink', sink.port, others)]);
const { url, token } = await node.access();
const local = (path, body) =>
  fetch(`${url}/api/local/${path}`, {
    method: body === undefined ? 'GET' : 'POST',
    headers: { authorization: `Bearer ${token}`, 'content-type': 'application/json' },
    ...(body === undefined ? {} : { body: JSON.stringify(body) }),
  });

// A bench that looks on: what it is told of an edit counts.
const { code } = await (await local('machine/invitations', { role: 'operator' })).json();
const paired = await fetch(`${url}/api/pair`, {
  method: 'POST',
  headers: { 'content-type': 'application/json', origin: url },
  body: JSON.stringify({ code, name: 'Bench' }),
});
const cookie = paired.headers.get('set-cookie')?.split(';')[0];
const socket = new WebSocket(`${url.replace('http', 'ws')}/ws`, { headers: { cookie, origin: url } });
const told = { change: 0, hello: 0 };
socket.on('message', (data, isBinary) => {
  const text = isBinary ? '' : String(data);
  for (const type of ['change', 'hello']) if (text.startsWith(`{"type":"${type}"`)) told[type] += text.length;
});
await new Promise((resolve, reject) => socket.once('open', resolve).once('error', reject));
await pause(2000);

let { parts } = (await (await local('show')).json()).looks.find(({ id }) => id === 'low');
let number = 0;
let bytes = 0;
async function edit(level, gesture) {
  const next = parts.map((part) => ({ ...part, level: levelOf(level) }));
  const change = { do: 'set', kind: 'look', id: 'low', field: 'parts', was: parts, now: next };
  const body = { editId: `bench-edit-${++number}`, changes: [change], ...(gesture && { gesture }) };
  bytes = JSON.stringify(body).length;
  parts = next;
  const answer = await local('show/edit', body);
  if (!(await answer.json()).ok) throw new Error('the edit was not taken');
}

told.hello = 0;
const delays = [];
for (let i = 0; i < EDITS; i++) {
  await pause(200 + 50 * Math.random());
  const wanted = i % 2 === 0 ? HIGH : LOW;
  const arrived = new Promise((resolve) => {
    heard = (at, level) => level === wanted && resolve(at);
  });
  const asked = now();
  const answered = edit(wanted);
  delays.push((await arrived) - asked);
  await answered;
}
const perEdit = { request: bytes, change: told.change / EDITS, hello: told.hello / EDITS };

const arrivals = [];
heard = (at) => arrivals.push(at);
const until = now() + PULL;
for (let i = 0; now() < until; i++) {
  await edit(LOW + (i % 16), 'pull');
  await pause(150);
}
await pause(200);
const gap = Math.max(...arrivals.slice(1).map((at, i) => at - arrivals[i]));
socket.terminate();
await node.stop();
await ear.close();
report({ delays, gap, perEdit, size: JSON.stringify(document).length });
