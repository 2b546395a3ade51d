import { readdirSync, readFileSync } from 'node:fs';
import { file, now, pause, report } from './common.mjs';
import { openEar } from './ear.mjs';
import { startNode } from './node.mjs';
import { guardedShow, restlessShow, sacnTo } from './show.mjs';
import { openSink } from './sink.mjs';

const STARTS = 5;
const SECONDS = 15;
/** Ticks a second in /proc/PID/stat, on every Linux that Node runs on. */
const TICKS = 100;

/** Milliseconds from the spawning of the process to the arrival of its first datagram, with the demo show. */
async function startToFirstFrame() {
  let heard = () => undefined;
  const ear = await openEar((at) => heard(at));
  const demo = JSON.parse(readFileSync(file('../../shows/barn-wedding.json'), 'utf8'));
  const times = [];
  for (let i = 0; i < STARTS; i++) {
    const arrived = new Promise((resolve) => {
      heard = resolve;
    });
    const spawned = now();
    const node = await startNode(demo, [sacnTo('ear', ear.port)]);
    times.push((await arrived) - spawned);
    await node.stop();
  }
  await ear.close();
  return times;
}

/** CPU seconds of every thread so far, the main thread first, then by how busy they are. */
function threadSeconds(pid) {
  const all = readdirSync(`/proc/${pid}/task`).map((thread) => {
    // Behind the name, which is in brackets: state is field 3, utime 14, stime 15 (proc(5)).
    const fields = readFileSync(`/proc/${pid}/task/${thread}/stat`, 'utf8')
      .replace(/^.*\) /s, '')
      .split(' ');
    return { thread: Number(thread), seconds: (Number(fields[11]) + Number(fields[12])) / TICKS };
  });
  const main = all.find(({ thread }) => thread === pid)?.seconds ?? 0;
  return { main, all: new Map(all.map(({ thread, seconds }) => [thread, seconds])), pid };
}

/** Resident memory in MB, and what share of a core the engine thread and the whole process took. */
async function playing(show, sink) {
  const node = await startNode(show, [sacnTo('sink', sink)]);
  await node.access();
  await pause(4000);
  const before = threadSeconds(node.pid);
  await pause(SECONDS * 1000);
  const after = threadSeconds(node.pid);
  const spent = [...after.all].map(([thread, seconds]) => [thread, seconds - (before.all.get(thread) ?? 0)]);
  const others = spent.filter(([thread]) => thread !== node.pid).map(([, seconds]) => seconds);
  const status = readFileSync(`/proc/${node.pid}/status`, 'utf8');
  const rss = Number(/VmRSS:\s+(\d+) kB/.exec(status)?.[1]) / 1024;
  await node.stop();
  return {
    rss,
    // The engine is the busiest thread besides the main one.
    engine: Math.max(...others) / SECONDS,
    process: spent.reduce((sum, [, seconds]) => sum + seconds, 0) / SECONDS,
  };
}

const starts = await startToFirstFrame();
const sink = await openSink();
const [few, many] = await Promise.all([playing(restlessShow(4), sink.port), playing(restlessShow(64), sink.port)]);
const guarded = await playing(guardedShow(), sink.port);
report({ starts, few, many, guarded });
