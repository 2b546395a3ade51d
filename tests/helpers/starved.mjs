import { closeSync, openSync } from 'node:fs';
import process from 'node:process';
import { Levels } from '../../dist/node/core/levels.js';
import { artnetSettings, sacnSettings } from '../../dist/node/core/output-settings.js';
import { Monitor } from '../../dist/node/monitor/monitor.js';
import { ArtnetOutput } from '../../dist/node/outputs/artnet/output.js';
import { SacnOutput } from '../../dist/node/outputs/sacn/output.js';
import { LinkWatch } from '../../dist/node/system/links.js';
import { KernelNeighbourhood } from '../../dist/node/system/neighbours.js';
import { openUdp } from '../../dist/node/system/udp.js';

/**
 * Uses up every descriptor that the process may have, has the outputs, the links and the monitor do all that they do, and gives the
 * descriptors back. Run under a low `ulimit -n`. Prints what happened as JSON; whatever is thrown ends it.
 */
const log = [];
const host = { openUdp, neighbourhood: new KernelNeighbourhood(), random: Math.random, log: (line) => log.push(line) };
const sacn = (rest) => sacnSettings.parse({ id: 'main', protocol: 'sacn', interface: 'lo', ...rest });
const artnet = (rest) => artnetSettings.parse({ id: 'art', protocol: 'artnet', interface: 'lo', ...rest });
const outputs = [
  new SacnOutput({ settings: sacn({ to: ['127.0.0.1:9'] }), cid: new Uint8Array(16), sourceName: 'Starved', host }),
  new ArtnetOutput({ settings: artnet({ to: ['127.0.0.1:9'] }), nodeName: 'Starved', firmwareVersion: 1, host }),
];
const watch = new LinkWatch((line) => log.push(line));
const levels = new Levels([1]);
const pause = (millis) => new Promise((resolve) => setTimeout(resolve, millis));
let now = 0;

/** As the engine does it, for so many frames. */
async function play(frames) {
  for (let i = 0; i < frames; i++) {
    now += 25;
    levels.slots(1)[0]++;
    for (const output of outputs) output.flush(levels, now);
    await pause(5);
  }
}
const states = () => outputs.map((output) => output.report(now).state);
const links = watch.look();
for (const output of outputs) {
  output.carry([1], now);
  output.relink(links, now);
}
await play(20);
const before = states();

const held = [];
/** @returns why there are no more. */
function takeAll() {
  for (;;) {
    try {
      held.push(openSync('/dev/null', 'r'));
    } catch (error) {
      return error.code;
    }
  }
}
const limit = takeAll();
const seen = [watch.look(), watch.look()];
const neighbour = host.neighbourhood.leads('lo');
// Sockets that went with their link, and are wanted again.
outputs[0].relink([], now);
outputs[1].stop(now);
takeAll();
outputs[0].relink(links, now);
outputs[0].settle(sacn({}), now);
outputs[1] = new ArtnetOutput({ settings: artnet({ to: ['127.0.0.1:9'] }), nodeName: 'Starved', firmwareVersion: 1, host });
outputs[1].relink(links, now);
outputs[1].carry([1], now);
const monitor = new Monitor({
  cid: new Uint8Array(16),
  reports: () => [],
  log: { once: (_, line) => log.push(line.split('\n')[0]) },
});
monitor.start();
monitor.setUniverses([1], [sacn({})]);
await play(100);
const starved = states();

for (const descriptor of held) closeSync(descriptor);
// A socket is tried again after a second, and a fault has healed after two.
await pause(1200);
await play(200);
process.stdout.write(
  JSON.stringify({ limit, before, seen, neighbour, starved, after: states(), links: watch.look()?.length === links.length, log }),
);
await monitor.stop();
for (const output of outputs) output.stop(now);
process.exit(0);
