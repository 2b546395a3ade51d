#!/usr/bin/env node
import { readFileSync } from 'node:fs';
import { hostname } from 'node:os';
import { fileURLToPath } from 'node:url';
import { Router } from 'express';
import type { Edited, ForeignSource } from './api/contract.ts';
import { Control } from './api/control.ts';
import { Holds } from './api/holds.ts';
import { LocalAccess } from './api/local-access.ts';
import { NodeSettings } from './api/node-settings.ts';
import { Pairing } from './api/pairing.ts';
import { PictureKeeper } from './api/picture-keeper.ts';
import { machineRoutes } from './api/routes/machine.ts';
import { pairingRoutes } from './api/routes/pairing.ts';
import { playRoutes } from './api/routes/play.ts';
import { settingsRoutes } from './api/routes/settings.ts';
import { showRoutes } from './api/routes/show.ts';
import { slotImageRoutes, typeRoutes } from './api/routes/types.ts';
import { WebServer } from './api/server.ts';
import { Sockets } from './api/socket/sockets.ts';
import { statusOf } from './api/status.ts';
import { Visitors } from './api/visitors.ts';
import { program, type RunOptions } from './cli/program.ts';
import { InputError, problemLine } from './core/errors.ts';
import { Heartbeat } from './core/heartbeat.ts';
import { printable } from './core/text.ts';
import { Engine } from './engine/engine.ts';
import { Monitor } from './monitor/monitor.ts';
import { offline } from './offline.ts';
import { ARTNET_CREDIT } from './outputs/artnet/packets.ts';
import { beginningOf } from './store/beginning.ts';
import { firstOf } from './store/first.ts';
import { holdFolder } from './store/lock.ts';
import { RemotesAtHand } from './store/remotes-at-hand.ts';
import { noteFirstFile } from './store/show-files.ts';
import { Store } from './store/store.ts';
import { systemClock as clock } from './system/clock.ts';
import { ownAddress, presentLinks } from './system/links.ts';
import { log } from './system/log.ts';
import { NameResponder } from './system/mdns.ts';
import { openUdp } from './system/udp.ts';

const { version } = JSON.parse(readFileSync(new URL('../../package.json', import.meta.url), 'utf8')) as { version: string };
const demoShow = new URL('../../shows/barn-wedding.json', import.meta.url);
const webApp = fileURLToPath(new URL('../ui', import.meta.url));
const text = (lines: readonly string[]): string => lines.map((line) => `${printable(line)}\n`).join('');
const print = (...lines: readonly string[]): void => void process.stdout.write(text(lines));
const note = (...lines: readonly string[]): void => void process.stderr.write(text(lines));

/** Builds the node, starts it, and stops it when the system asks. */
async function run(options: RunOptions): Promise<void> {
  const unlock = holdFolder(options.data);
  const begin = beginningOf(options.data, options.show, demoShow);
  for (const line of begin.said) log(line);
  if (begin.show?.revision === 0 && options.show !== undefined) noteFirstFile(options.data, options.show);
  const cid = Buffer.from(begin.cid.replaceAll('-', ''), 'hex');
  const store = new Store({ folder: options.data, isDamaged: begin.isDamaged }, log);
  const remotes = new RemotesAtHand(store, begin.remotes);
  const visitors = new Visitors(remotes, clock);
  const { sacn, artnet, interface: link, fresh = false } = options;
  const flags = { ...(sacn && { sacn }), ...(artnet && { artnet }), ...(link && { interface: link }) };
  const settings = new NodeSettings({ ...begin, kept: begin.settings, flags, keep: (kept) => store.ask('keepSettings', kept) });
  const node = { name: settings.kept.name ?? `Duskhand on ${hostname()}`, version, startedAt: clock.wall(), rate: options.rate };
  const heartbeat = new Heartbeat();

  const engine = new Engine(
    { heartbeat: heartbeat.memory, rate: options.rate, cid, nodeName: node.name, firmwareVersion: firmware(version) },
    {
      firstFrame: () => {
        print(`Playing "${control.show.show.name}" on universes ${control.show.rig.universes.join(', ') || 'none'}`);
        // Strangers at the door must not take descriptors that the engine needs to begin; and what plays has its number by then.
        void control.begun().then(() => server.start());
        // What has just been played from is worth a copy.
        if (begin.show !== undefined)
          store.ask('keepCopy').catch((error: Error) => log(`The store could not be copied: ${error.message}`));
      },
      played: (...how) => control.played(...how),
      log,
      died: (error) => {
        log(`The engine has died: ${error.stack ?? error.message}`);
        process.exit(70);
      },
    },
  );
  const monitor = new Monitor({ cid, reports: () => engine.report?.outputs ?? [], log });
  const listen = (): void => monitor.setUniverses(control.show.rig.universes, settings.outputs);
  const changed = (what: 'state' | 'show' | 'settings'): void => {
    if (what !== 'state') listen();
    picture.changed();
    if (what === 'show') sockets.showChanged();
    else sockets.changed();
  };
  const first = firstOf(begin, fresh, clock);
  store.start();
  settings
    .takeOver(first.outputs)
    .then((note) => note !== undefined && log(`${first.show.show.name}: ${note}`))
    .catch((error: Error) => log(`The outputs of the show could not be kept: ${error.message}`));
  const edited = (change: Edited): void => sockets.edited(change);
  const control = new Control({ engine, store, settings, clock, heartbeat, changed, edited, log }, first);
  store.onMended = (line) => control.storeMended(line);
  const picture = new PictureKeeper({ control, clock, store, outputs: () => settings.outputs });
  const alive = (): void => heartbeat.beat(clock.now());
  const sources = (): readonly ForeignSource[] => monitor.sources(clock.now());
  const holds = new Holds<object>((button) => control.isOn(button));
  const sockets = new Sockets({ control, engine, visitors, holds, clock, node, alive, sources, log });
  const pairing = new Pairing({ remotes, clock, revoked: (id) => sockets.end(id), connected: (id) => sockets.isConnected(id) });
  const address = (): string => server.address(ownAddress());
  const server = new WebServer({
    ...options.http,
    access: new LocalAccess(options.data),
    visitors,
    local: {
      play: playRoutes(control, holds, () => statusOf(control, engine, node, clock.now())),
      show: showRoutes(control, settings, store),
      settings: settingsRoutes(settings, control),
      types: typeRoutes(store, clock),
      machine: machineRoutes(pairing, heartbeat, clock, address),
    },
    browsers: Router().use(slotImageRoutes(store, visitors), pairingRoutes(pairing, visitors, clock)),
    app: webApp,
    opened: (http) => sockets.serve(http),
    listening: () => {
      const claim = pairing.openClaim();
      if (claim !== undefined)
        log(`No phone is paired yet. Open ${address()} within ten minutes and enter ${claim}, or run "duskhand pair".`);
    },
    clock,
    log,
  });

  control.start();
  picture.start();
  sockets.start();
  listen();
  monitor.start();
  const name = options.name === 'off' ? undefined : new NameResponder(options.name, { links: presentLinks, openUdp, clock, log });
  name?.start();

  const stop = async (): Promise<void> => {
    name?.stop();
    picture.stop();
    sockets.stop();
    await control.stop();
    await Promise.all([engine.stop(), server.stop(), monitor.stop()]);
    await store.stop();
    unlock();
    process.exit(0);
  };
  process.once('SIGTERM', () => void stop());
  process.once('SIGINT', () => void stop());
}

/** Major and minor version in the bytes in which ArtPollReply carries them. */
const firmware = (text: string): number => text.split('.').reduce((sum, part, i) => (i > 1 ? sum : sum * 256 + Number(part)), 0);

program({ run, ...offline }, { print, note, version, credit: ARTNET_CREDIT })
  .parseAsync()
  .catch((error: unknown) => {
    if (!(error instanceof InputError)) throw error;
    note(error.message, ...error.problems.map((one) => `  ${problemLine(one)}`));
    process.exitCode = 1;
  });
