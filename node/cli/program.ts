import { homedir } from 'node:os';
import { join, resolve } from 'node:path';
import { Argument, Command, InvalidArgumentError, Option } from 'commander';
import type { Imported, Released, Status } from '../api/local-contract.ts';
import { type Severity, severities } from '../core/ports.ts';
import { NodeClient } from './client.ts';
import { addMachineCommands } from './machine.ts';
import { addSettingsCommand, type OfflineSettings } from './settings.ts';
import { statusInWords } from './status-in-words.ts';
import { addTypeCommands, type OfflineTypes } from './types.ts';

export interface RunOptions {
  readonly data: string;
  readonly http: { readonly host: string; readonly port: number };
  readonly rate: number;
  /** Lines that matter less are not written. */
  readonly log: Severity;
  /** Name on the network, for NAME.local; or `off`. */
  readonly name: string;
  readonly fresh?: boolean;
  readonly show?: string;
  readonly sacn?: string;
  readonly artnet?: string;
  readonly interface?: string;
}

/** How `duskhand patch` was asked: new addresses for all or only where they clash, free slots between kinds, the file to write. */
export interface PatchRun {
  readonly afresh: boolean;
  readonly gap: number;
  readonly write?: string;
  /** Imported types that the show names are those of this folder. */
  readonly data: string;
}

/** The commands that need more than a running node; `run.ts` and `offline.ts` bring them. Each gives the text to print. */
export interface Offline extends OfflineTypes, OfflineSettings {
  /** Imported types that a show names are those of the folder. */
  readonly check: (file: string, folder: string) => string;
  readonly schema: () => string;
  readonly patch: (file: string, options: PatchRun) => string;
  /** Reads a show file into plain JSON as it stands there, checked. */
  readonly read: (file: string, folder: string) => unknown;
  /** Into and out of the store of a data folder that no node has open. */
  readonly keep: (folder: string, show: unknown) => Imported;
  readonly fetch: (folder: string, show: string | undefined) => unknown;
}

/** What carries commands out, loaded by those that need it. */
export interface Carriers {
  readonly run: (options: RunOptions) => Promise<void>;
  readonly offline: () => Promise<Offline>;
}

export interface Terminal {
  /** Writes lines, each without what a terminal would take for a command. */
  readonly print: (...lines: readonly string[]) => void;
  /** The same beside what was asked for, so that this can go into a file. */
  readonly note: (...lines: readonly string[]) => void;
  readonly version: string;
  /** Printed under the help: what the owners of a standard ask for. */
  readonly credit: string;
}

const defaultFolder = (): string =>
  process.env.DUSKHAND_DATA || join(process.env.XDG_DATA_HOME || join(homedir(), '.local', 'share'), 'duskhand');
const DATA = ['--data <dir>', 'data folder of the node', defaultFolder()] as const;

/** The command line. Client commands find the running node through its data folder. */
export function program({ run, offline }: Carriers, terminal: Terminal): Command {
  const { print, version, credit } = terminal;
  const duskhand = new Command('duskhand')
    .description(
      'Plays the looks of a show over sACN and Art-Net. It controls show lighting only, never house, exit or emergency lighting.',
    )
    .version(version)
    .addHelpText('after', `\n${credit}`);

  duskhand
    .command('run')
    .description('play a show until told to stop (Ctrl+C or SIGTERM)')
    .option('--show <file>', 'show to import and play; without it, what played last')
    .option(...DATA)
    .addOption(
      new Option('--http <host:port>', 'where the web server listens')
        .argParser(hostAndPort)
        .default({ host: '0.0.0.0', port: 8484 }, '0.0.0.0:8484'),
    )
    .option('--sacn <where>', 'multicast, an address with or without :PORT, or off; without it, as the settings say')
    .option('--artnet <where>', 'auto, an address with or without :PORT, or off; without it, as the settings say')
    .option('--interface <name>', 'send by this network interface only (name or address)')
    .option('--rate <hertz>', 'frames a second, 1 to 44', rate, 40)
    .option('--name <name>', 'name on the network, so that phones find NAME.local, or off', networkName, 'duskhand')
    .addOption(
      new Option('--log <severity>', 'how much a line must matter to be written').choices(Object.keys(severities)).default('info'),
    )
    .option('--fresh', 'start the show afresh instead of going on with what was on')
    .action((options: RunOptions) => run({ ...options, data: resolve(options.data) }));

  const client = (
    name: string,
    argument: Argument,
    description: string,
    act: (client: NodeClient, value: string) => Promise<unknown>,
  ) =>
    duskhand
      .command(name)
      .description(description)
      .addArgument(argument)
      .option(...DATA)
      .action(async (value: string, options: { data: string }) => void (await act(new NodeClient(resolve(options.data)), value)));

  client('press', new Argument('<button>'), 'press a button of the show, by its words or its id', (node, button) =>
    node.post('play/command', { do: 'press', button }),
  );
  client('release', new Argument('<button>'), 'let a button go: what it started fades out', async (node, button) => {
    const { name, outcome } = (await node.post('play/command', { do: 'release', button })) as Released;
    print(`"${name}" ${releaseWords[outcome]}`);
  });
  const resume = async (options: { data: string }): Promise<void> => {
    await new NodeClient(resolve(options.data)).post('play/command', { do: 'resume' });
  };
  duskhand
    .command('resume')
    .description('bring back what the fallback took away')
    .option(...DATA)
    .action(resume);

  const onOff = new Argument('<state>').choices(['on', 'off']);
  client('blackout', onOff, 'put every light out, or let them return as they were', (node, state) =>
    node.post('play/command', { do: 'blackout', on: state === 'on' }),
  );
  const haze = 'say that the venue permits haze tonight and has dealt with its smoke detectors itself, or that it does not';
  client('haze', new Argument('<state>').choices(['permitted', 'not-permitted']), haze, (node, state) =>
    node.post('play/command', { do: 'allow-haze', on: state === 'permitted' }),
  );

  duskhand
    .command('status')
    .description('say what plays, what goes to the wire and how the outputs fare')
    .option('--json', 'as JSON, with the levels of every universe')
    .option(...DATA)
    .action(async (options: { data: string; json?: boolean }) => {
      const status = (await new NodeClient(resolve(options.data)).get('play/status')) as Status;
      print(...(options.json ? jsonLines(status) : statusInWords(status)));
    });

  duskhand
    .command('check')
    .description('read a show file and say what is wrong with it')
    .argument('<file>')
    .option(...DATA)
    .action(async (file: string, options: { data: string }) => print((await offline()).check(file, resolve(options.data))));

  duskhand
    .command('patch')
    .description('plan addresses for the lamps of a show file, with their switches')
    .argument('<file>')
    .option('--write <file>', 'write the show with these addresses to a new file')
    .option('--afresh', 'give every lamp a new address; without it, those that stand without a clash keep theirs', false)
    .option('--gap <slots>', 'free slots between lamps of different kinds, 0 to 64', gap, 8)
    .option(...DATA)
    .action(async (file: string, options: PatchRun) =>
      print(...(await offline()).patch(file, { ...options, data: resolve(options.data) }).split('\n')),
    );

  duskhand
    .command('schema')
    .description('print the JSON Schema of show files')
    .action(async () => print(...(await offline()).schema().split('\n')));

  duskhand
    .command('import')
    .description('keep a show file as a new revision; a running node plays it at once')
    .argument('<file>')
    .option(...DATA)
    .action(async (file: string, options: { data: string }) => {
      const folder = resolve(options.data);
      const { read, keep } = await offline();
      const show = read(file, folder);
      const node = new NodeClient(folder);
      const kept = (await node.isRunning()) ? ((await node.post('show', show)) as Imported) : keep(folder, show);
      print(`${kept.name} is kept as revision ${kept.revision}`, ...(kept.note === undefined ? [] : [kept.note]));
    });

  duskhand
    .command('export')
    .description('print the show that plays, or another one, as JSON')
    .option('--show <id>', 'another show of the store')
    .option(...DATA)
    .action(async (options: { data: string; show?: string }) => {
      const folder = resolve(options.data);
      const node = new NodeClient(folder);
      const show = (await node.isRunning())
        ? await node.get(`show/${encodeURIComponent(options.show ?? '')}`)
        : (await offline()).fetch(folder, options.show);
      print(...jsonLines(show));
    });

  addTypeCommands(duskhand, offline, DATA, print);
  addMachineCommands(duskhand, DATA, print);
  addSettingsCommand(duskhand, offline, DATA, terminal);
  return duskhand;
}

const releaseWords: Readonly<Record<Released['outcome'], string>> = {
  'let go': 'is let go',
  held: 'is held by a phone, and goes on until that lets it go',
  'was not on': 'was not on',
};

const jsonLines = (value: unknown): string[] => JSON.stringify(value, null, 2).split('\n');

function hostAndPort(text: string): RunOptions['http'] {
  const parts = /^(?:\[([0-9a-f:]+)\]|([^:[\]]*)):(\d{1,5})$/i.exec(text);
  const port = Number(parts?.[3]);
  if (parts === null || port > 65535) throw new InvalidArgumentError('must be HOST:PORT, e.g. 0.0.0.0:8484');
  return { host: parts[1] ?? parts[2] ?? '', port };
}

function networkName(text: string): string {
  if (!/^[a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?$/.test(text))
    throw new InvalidArgumentError('must be lower-case letters, digits and hyphens');
  return text;
}

function gap(text: string): number {
  if (!/^\d{1,2}$/.test(text) || Number(text) > 64) throw new InvalidArgumentError('must be a whole number, 0 to 64');
  return Number(text);
}

function rate(text: string): number {
  const value = Number(text);
  if (!(value >= 1 && value <= 44)) throw new InvalidArgumentError('must be 1 to 44: a DMX512 line carries no more');
  return value;
}
