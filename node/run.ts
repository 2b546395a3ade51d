import { hostname } from 'node:os';
import { fileURLToPath } from 'node:url';
import type { Worker } from 'node:worker_threads';
import { type Changed, Control } from './api/control.ts';
import type { Edited } from './api/edit-contract.ts';
import { GuardKeeper } from './api/guard-keeper.ts';
import { HeldJournal } from './api/held-journal.ts';
import { NodeSettings } from './api/node-settings.ts';
import { PictureKeeper } from './api/picture-keeper.ts';
import type { RunOptions } from './cli/program.ts';
import { Heartbeat } from './core/heartbeat.ts';
import { Engine } from './engine/engine.ts';
import { inShort, Vigil } from './engine/vigil.ts';
import { beginningOf } from './store/beginning.ts';
import { firstOf } from './store/first.ts';
import { holdFolder } from './store/lock.ts';
import { noteFirstFile } from './store/show-files.ts';
import { Store } from './store/store.ts';
import { systemClock as clock, machineZone } from './system/clock.ts';
import { log, logFrom } from './system/log.ts';
import { runInRealTime } from './system/priority.ts';
import { ServiceManager } from './system/service-manager.ts';
import type { Web } from './web.ts';

/** The shows that come with the program. */
const demos = new URL('../../shows/', import.meta.url);
const demoShow = new URL('barn-wedding.json', demos);

export interface RunParts {
  /** The thread of `engine/thread.ts`, which loads already. */
  readonly engine: Worker;
  /** Of this program, as package.json says it. */
  readonly version: string;
  /** Tells whoever has started the node, a line each. */
  readonly print: (...lines: readonly string[]) => void;
}

/** Builds a node, starts it, and stops it when the system asks. The lights come first: what phones and other machines need is loaded after them. */
export async function run(options: RunOptions, { engine: worker, version, print }: RunParts): Promise<void> {
  logFrom(options.log);
  const unlock = holdFolder(options.data);
  const { fresh = false } = options;
  const begin = beginningOf(options.data, options.show, demoShow, fresh);
  for (const line of begin.said) log(line);
  if (begin.row === 0 && begin.show?.revision === 0 && options.show !== undefined) noteFirstFile(options.data, options.show);
  const store = new Store({ folder: options.data, isDamaged: begin.isDamaged }, log);
  const { sacn, artnet, interface: link } = options;
  const flags = { ...(sacn && { sacn }), ...(artnet && { artnet }), ...(link && { interface: link }) };
  const settings = new NodeSettings({
    ...begin,
    kept: begin.settings,
    flags,
    zone: machineZone(),
    keep: (kept) => store.ask('keepSettings', kept),
  });
  const cid = Buffer.from(begin.cid.replaceAll('-', ''), 'hex');
  const name = settings.kept.name ?? `Duskhand on ${hostname()}`;
  const heartbeat = new Heartbeat();
  const manager = new ServiceManager();

  let firstFrame = (): void => undefined;
  const lit = new Promise<void>((resolve) => {
    firstFrame = resolve;
  });
  const engine = new Engine(
    worker,
    {
      heartbeat: heartbeat.memory,
      rate: options.rate,
      zone: settings.zone,
      cid,
      nodeName: name,
      firmwareVersion: firmware(version),
    },
    {
      firstFrame: () => firstFrame(),
      played: (...how) => control.played(...how),
      reported: (report) => {
        guardKeeper.take(report.kept);
        heldJournal.take(report);
      },
      log,
      died: (error) => {
        log.error(`The engine has died: ${error.stack ?? error.message}`);
        process.exit(70);
      },
    },
  );
  let web: Web | undefined;
  const changed = (what: Changed): void => {
    if (what !== 'shelf') picture.changed();
    web?.changed(what);
  };
  const edited = (change: Edited): void => web?.edited(change);
  const first = firstOf(begin, fresh, clock);
  store.start();
  settings
    .takeOver(first.outputs)
    .then((note) => note !== undefined && log(`${first.show.show.name}: ${note}`))
    .catch((error: Error) => log(`The outputs of the show could not be kept: ${error.message}`));
  const control = new Control({ engine, store, settings, clock, heartbeat, changed, edited, log }, first);
  const guardKeeper = new GuardKeeper(store, clock, first.kept);
  const heldJournal = new HeldJournal({
    store,
    clock,
    names: () => control.show.show.fixtures.map(({ name }) => name),
    state: () => control.state,
  });
  store.onMended = (line) => control.storeMended(line);
  const picture = new PictureKeeper({
    control,
    clock,
    store,
    outputs: () => settings.outputs,
    startedWith: begin.file?.key ?? '',
    repeated: begin.picture,
  });

  const stop = async (comesBack: boolean): Promise<void> => {
    manager.stopping();
    picture.stop();
    web?.close();
    await control.stop();
    await Promise.all([comesBack ? undefined : engine.stop(), web?.stop()]);
    await store.stop();
    if (comesBack) await engine.pause();
    unlock();
    process.exit(0);
  };
  process.once('SIGTERM', () => void stop(false));
  process.once('SIGINT', () => void stop(false));
  // A restart that is meant: no goodbye on the wire, so receivers hold what they have. The engine plays until the process ends.
  process.once('SIGUSR2', () => void stop(true));

  control.start();
  picture.start();
  const { Web } = await import('./web.ts');
  await lit;
  const vigil = new Vigil(() => engine.report);
  manager.ready(() => ({ onTime: vigil.isOnTime(clock.now()), status: inShort(control.show.show.name, engine.report) }));
  if (manager.listens && engine.thread !== undefined)
    runInRealTime(engine.thread)
      .then((isSo) => isSo || log('The thread that draws the frames has no real time: the system does not permit it.'))
      .catch(() => undefined);
  // What has just been played from is worth a copy.
  if (begin.show !== undefined)
    store.ask('keepCopy').catch((error: Error) => log(`The store could not be copied: ${error.message}`));
  // What plays has its number by the time phones come in.
  await control.begun();
  picture.changed();
  const node = { name, version, startedAt: clock.wall(), rate: options.rate };
  web = new Web({
    options,
    node,
    cid,
    demos: fileURLToPath(demos),
    remotes: begin.remotes,
    engine,
    store,
    settings,
    control,
    heartbeat,
  });
  web.start();
  print(`Playing "${control.show.show.name}" on universes ${control.show.rig.universes.join(', ') || 'none'}`);
}

/** Major and minor version in the bytes in which ArtPollReply carries them. */
const firmware = (text: string): number => text.split('.').reduce((sum, part, i) => (i > 1 ? sum : sum * 256 + Number(part)), 0);
