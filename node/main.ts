#!/usr/bin/env node
import { randomUUID } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { hostname } from 'node:os';
import { Control } from './api/control.ts';
import { LocalAccess } from './api/local-access.ts';
import { playRoutes } from './api/routes/play.ts';
import { showRoutes } from './api/routes/show.ts';
import { WebServer } from './api/server.ts';
import { statusOf } from './api/status.ts';
import { program, type RunOptions } from './cli/program.ts';
import { InputError, problemLine } from './core/errors.ts';
import { Heartbeat } from './core/heartbeat.ts';
import { Engine } from './engine/engine.ts';
import { ARTNET_CREDIT } from './outputs/artnet/credit.ts';
import { compileShow } from './playback/compile.ts';
import type { Show } from './show/document.ts';
import { readShow, showSchema } from './show/read.ts';
import { openDatabase } from './store/database.ts';
import { FactTable } from './store/facts.ts';
import { JournalTable } from './store/journal.ts';
import { lockFolder } from './store/lock.ts';
import { ShowTable, type StoredShow } from './store/shows.ts';
import { systemClock } from './system/clock.ts';
import { log } from './system/log.ts';

const { version } = JSON.parse(readFileSync(new URL('../../package.json', import.meta.url), 'utf8')) as { version: string };
const demoShow = new URL('../../shows/barn-wedding.json', import.meta.url);
const print = (text: string): void => void process.stdout.write(`${text}\n`);

/** Builds the node, starts it, and stops it when the system asks. */
async function run(options: RunOptions): Promise<void> {
  const unlock = lockFolder(options.data);
  const db = openDatabase(options.data);
  const shows = new ShowTable(db);
  const journal = new JournalTable(db);
  const facts = new FactTable(db);
  const clock = systemClock;
  const stored = openShow(options, shows, journal);
  const node = { name: `Duskhand on ${hostname()}`, version, startedAt: clock.now(), rate: options.rate };
  const cid = Buffer.from(facts.getOrMake('e131-cid', randomUUID).replaceAll('-', ''), 'hex');

  const heartbeat = new Heartbeat();
  const engine = new Engine(
    { heartbeat: heartbeat.memory, rate: options.rate, cid, nodeName: node.name, firmwareVersion: firmware(version) },
    {
      firstFrame: () => print(`Playing "${control.show.show.name}" on universes ${control.show.rig.universes.join(', ')}`),
      acted: (command, at) => control.follow(command, at),
      log,
      died: (error) => {
        log(`The engine has died: ${error.stack ?? error.message}`);
        process.exit(70);
      },
    },
  );
  const { sacn, artnet, interface: link } = options;
  const flags = { ...(sacn && { sacn }), ...(artnet && { artnet }), ...(link && { interface: link }) };
  const control = new Control({ engine, shows, journal, clock, heartbeat, flags, fresh: options.fresh ?? false }, stored);
  const access = new LocalAccess(options.data);
  const server = new WebServer({
    ...options.http,
    access,
    local: { play: playRoutes(control, () => statusOf(control, engine, node, clock.now())), show: showRoutes(control, shows) },
    log,
  });

  control.start();
  server.start();
  const stop = async (): Promise<void> => {
    control.stop();
    await Promise.all([engine.stop(), server.stop()]);
    db.close();
    unlock();
    process.exit(0);
  };
  process.once('SIGTERM', () => void stop());
  process.once('SIGINT', () => void stop());
}

/** The show of the command line; else the one that played last; else the one that was kept last; else the demo. */
function openShow(options: RunOptions, shows: ShowTable, journal: JournalTable): StoredShow {
  if (options.show !== undefined) return shows.keep(readFile(options.show), options.show, systemClock.now());
  const last = journal.last();
  const lastShow = last === undefined ? undefined : shows.revision(last.revision)?.show.id;
  const stored = lastShow === undefined ? shows.latest() : shows.open(lastShow);
  return stored ?? shows.keep(readShow(readFileSync(demoShow, 'utf8')), 'demo', systemClock.now());
}

function readFile(file: string): Show {
  let text: string;
  try {
    text = readFileSync(file, 'utf8');
  } catch (error) {
    throw new InputError(`${file} cannot be read: ${error instanceof Error ? error.message : String(error)}`);
  }
  return readShow(text);
}

function check(file: string): string {
  const { show, rig } = compileShow(readFile(file));
  return `${show.name}: ${show.fixtures.length} fixtures on universes ${rig.universes.join(', ')}, ${show.looks.length} looks, ${show.buttons.length} buttons. No mistakes found.`;
}

function withStore<T>(folder: string, use: (shows: ShowTable) => T): T {
  const db = openDatabase(folder);
  try {
    return use(new ShowTable(db));
  } finally {
    db.close();
  }
}

const firmware = (text: string): number => text.split('.').reduce((sum, part, i) => (i > 1 ? sum : sum * 256 + Number(part)), 0);

const duskhand = program(
  {
    run,
    check,
    schema: () => JSON.stringify(showSchema(), null, 2),
    read: readFile,
    keep: (folder, show) =>
      withStore(folder, (shows) => {
        const stored = shows.keep(show as Show, 'import', systemClock.now());
        return { show: stored.show.id, name: stored.show.name, revision: stored.revision };
      }),
    fetch: (folder, id) =>
      withStore(folder, (shows) => {
        const stored = id === undefined ? shows.latest() : shows.open(id);
        if (stored === undefined)
          throw new InputError(id === undefined ? 'The store holds no show yet' : `There is no show "${id}"`);
        return stored.show;
      }),
  },
  { print, version, credit: ARTNET_CREDIT },
);

duskhand.parseAsync().catch((error: unknown) => {
  if (!(error instanceof InputError)) throw error;
  process.stderr.write(`${[error.message, ...error.problems.map((one) => `  ${problemLine(one)}`)].join('\n')}\n`);
  process.exitCode = 1;
});
