import { setPriority } from 'node:os';
import { parentPort } from 'node:worker_threads';
import type { Millis } from '../core/units.ts';
import { ForeignStreams } from '../outputs/artnet/foreign.ts';
import { parseArtnet } from '../outputs/artnet/parse.ts';
import { systemClock } from '../system/clock.ts';
import { linksKey, presentLinks } from '../system/links.ts';
import { openUdp } from '../system/udp.ts';
import { Listening } from './listening.ts';
import type { FromMonitor, Watch } from './messages.ts';
import { SacnSources } from './sources.ts';

/** The worker that listens: whatever is thrown at it, it has its own thread, its own heap and the lower rank. */
const port = parentPort;
if (port === null) throw new Error('the monitor runs as a worker thread only');
const post = (message: FromMonitor): void => port.postMessage(message);

const LOOK_AT_LINKS: Millis = 500;
const REPORT: Millis = 500;

/** On Linux 0 means this thread alone, so that it yields the processor to the engine; elsewhere it would mean the whole process. */
const OURSELVES = 0;
const YIELDING = 10;
if (process.platform === 'linux') {
  try {
    setPriority(OURSELVES, YIELDING);
  } catch {
    // A system that forbids it gives both the same rank: they still run side by side.
  }
}

const told = new Set<string>();
function tellOnce(code: string): void {
  if (told.has(code)) return;
  told.add(code);
  post({ kind: 'trouble', code });
}

const sources = new SacnSources();
let streams: ForeignStreams | undefined;
const listening = new Listening(openUdp, {
  onMessage: (data, from) => sources.take(data, from.address, systemClock.now()),
  onArtnet: (data, from) => {
    const packet = parseArtnet(data);
    if (packet.kind === 'dmx') streams?.heard(packet, from.address, systemClock.now());
  },
  onError: tellOnce,
});

port.on('message', (watch: Watch) => {
  sources.watch(watch);
  if (watch.artnet) streams ??= new ForeignStreams();
  else streams = undefined;
  listening.watch(watch);
});

let key = '';
function look(): void {
  const links = presentLinks(tellOnce);
  if (links === undefined || linksKey(links) === key) return;
  key = linksKey(links);
  told.clear();
  listening.relink(links);
}
look();
setInterval(look, LOOK_AT_LINKS);

let silent = true;
setInterval(() => {
  const now = systemClock.now();
  const heard = { sources: sources.report(now), previews: sources.previews(now), streams: streams?.report(now) ?? [] };
  const isSilent = Object.values(heard).every((some) => some.length === 0);
  if (!isSilent || !silent) post({ kind: 'heard', ...heard });
  silent = isSilent;
}, REPORT);
