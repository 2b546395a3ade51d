import { type ChildProcess, spawn } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { NodeFile, Status } from '../../node/api/local-contract.ts';
import type { Command } from '../../node/core/commands.ts';
import type { Role } from '../../node/core/roles.ts';

/** The node as it is delivered: compiled, in a process of its own, on the loopback. */
const MAIN = fileURLToPath(new URL('../../dist/node/main.js', import.meta.url));
/** Bounds every wait, so that a test that hangs says on what. */
const PATIENCE = 40_000;

/** Nothing that a test sends may leave the machine: neither light nor the node's name. */
export const LOOPBACK = ['--interface', 'lo', '--name', 'off'];

export interface Ended {
  readonly code: number | null;
  readonly signal: NodeJS.Signals | null;
  readonly stdout: string;
  readonly stderr: string;
}

export interface StartOptions {
  /** Data folder; without it a new one. */
  readonly folder?: string;
  /** A document, or the path of a show file; without it what the folder holds. */
  readonly show?: object | string;
  /** Where sACN and Art-Net go: an address, with a port if need be, or what else the options take; off unless told. */
  readonly sacn?: string;
  readonly artnet?: string;
  /** Outputs for the node's settings instead of those two; or the settings that the folder holds. */
  readonly outputs?: readonly object[] | 'kept';
  readonly http?: string;
  readonly more?: readonly string[];
  /** Shell commands that make its disks what they are, in a mount namespace of its own: only root can. */
  readonly disks?: string;
  /** Another installation than the one that was built. */
  readonly main?: string;
}

const nodes = new Set<NodeProcess>();
const folders = new Set<string>();

/** A folder that {@link endAll} removes. */
export function newFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'duskhand-test-'));
  folders.add(folder);
  return folder;
}

/** Writes a show file into a folder of its own and gives its path. */
export function showFile(show: object | string): string {
  const file = join(newFolder(), 'show.json');
  writeFileSync(file, typeof show === 'string' ? show : JSON.stringify(show));
  return file;
}

/** Ends every node that a test has started and removes every folder. To be called when a test ends, however it ends. */
export const endAll = (): Promise<void> => endAllBut(undefined);

/** The same, but for one node that serves the whole file. */
export async function endAllBut(but: NodeProcess | undefined): Promise<void> {
  const over = [...nodes].filter((node) => node !== but);
  await Promise.all(over.map((node) => node.kill()));
  for (const node of over) nodes.delete(node);
  for (const folder of [...folders].filter((one) => one !== but?.folder)) {
    rmSync(folder, { recursive: true, force: true });
    folders.delete(folder);
  }
}

/** Asks again and again until there is an answer. */
export async function until<T>(what: string, ask: () => T | undefined | Promise<T | undefined>, within = PATIENCE): Promise<T> {
  const last = performance.now() + within;
  for (;;) {
    const answer = await ask();
    if (answer !== undefined) return answer;
    if (performance.now() > last) throw new Error(`After ${within / 1000} s there is still no ${what}`);
    await new Promise((resolve) => setTimeout(resolve, 10));
  }
}

/** Runs a command of `duskhand` to its end, as user `uid` if need be; one that does not end is killed. */
export function duskhand(args: readonly string[], options: { input?: string; uid?: number } = {}): Promise<Ended> {
  const child = launch(args, { uid: options.uid });
  child.stdin?.end(options.input ?? '');
  const late = setTimeout(() => child.kill('SIGKILL'), PATIENCE);
  return watch(child).ended.finally(() => clearTimeout(late));
}

/** Sets the settings in a folder that no node has open. */
async function setSettings(folder: string, settings: object): Promise<void> {
  const file = join(folder, 'settings.json');
  writeFileSync(file, JSON.stringify({ format: 'duskhand-settings', version: 1, ...settings }));
  const { code, stderr } = await duskhand(['settings', file, '--data', folder]);
  if (code !== 0) throw new Error(stderr);
}

/** A running node. */
export class NodeProcess {
  readonly folder: string;
  readonly ended: Promise<Ended>;
  readonly #child: ChildProcess;
  readonly #output: { stdout: string; stderr: string };
  readonly #phones = new Map<Role, { readonly cookies: string[]; used: number }>();
  #shows = 0;

  private constructor(folder: string, child: ChildProcess) {
    const { output, ended } = watch(child);
    this.folder = folder;
    this.ended = ended;
    this.#child = child;
    this.#output = output;
  }

  /** Starts a node and waits until it plays and, unless told otherwise, can be talked to. */
  static async start(options: StartOptions, waitFor: 'answer' | 'line' | 'nothing' = 'answer'): Promise<NodeProcess> {
    const { folder = newFolder(), show, sacn = 'off', artnet = 'off', outputs, http = '127.0.0.1:0', more = [] } = options;
    const { disks, main } = options;
    const play = show === undefined ? [] : ['--show', typeof show === 'string' ? show : showFile(show)];
    if (typeof outputs === 'object') await setSettings(folder, { outputs });
    const flags = outputs === undefined ? ['--sacn', sacn, '--artnet', artnet] : [];
    const node = new NodeProcess(
      folder,
      launch(['run', '--data', folder, '--http', http, ...LOOPBACK, ...flags, ...play, ...more], { disks, main }),
    );
    nodes.add(node);
    if (waitFor === 'nothing') return node;
    await node.says('stdout', /^Playing "/m);
    if (waitFor === 'answer') await until('node.json of this process', () => node.#file());
    return node;
  }

  get pid(): number {
    return this.#child.pid ?? 0;
  }

  get stdout(): string {
    return this.#output.stdout;
  }

  get stderr(): string {
    return this.#output.stderr;
  }

  /** Waits for a line; a node that ends before it fails the test with what it said. */
  says(stream: 'stdout' | 'stderr', line: RegExp): Promise<RegExpExecArray> {
    return until(`line ${line} on ${stream}`, () => {
      const found = line.exec(this.#output[stream]);
      if (found === null && this.#child.exitCode !== null) throw new Error(`The node has ended: ${this.stderr}`);
      return found ?? undefined;
    });
  }

  /** Runs a client command against this node. */
  client(command: string, ...args: string[]): Promise<Ended> {
    return duskhand([command, '--data', this.folder, ...args]);
  }

  /** The client command, which must succeed. @returns what it printed. */
  async does(command: string, ...args: string[]): Promise<string> {
    const { code, stdout, stderr } = await this.client(command, ...args);
    if (code !== 0) throw new Error(`duskhand ${[command, ...args].join(' ')}: ${stderr}`);
    return stdout;
  }

  /** Asks the node itself, without a process of its own for the question. */
  ask(path: string, init: RequestInit = {}): Promise<Response> {
    const { url, token } = this.file;
    const headers = { authorization: `Bearer ${token}`, 'content-type': 'application/json' };
    return fetch(`${url}/api/local/${path}`, { headers, ...init });
  }

  /** Carries a command out, as the client would. Buttons may be named by their words. */
  async command(command: Command): Promise<void> {
    const answer = await this.ask('play/command', { method: 'POST', body: JSON.stringify(command) });
    if (!answer.ok) throw new Error(`${JSON.stringify(command)}: ${await answer.text()}`);
  }

  /**
   * Plays a show afresh, as a node of its own would: under an id of its own, with nothing left of what was set before. It takes
   * far less than a start.
   */
  async plays(show: { readonly id: string }): Promise<void> {
    const own = { ...show, id: `${show.id}-${++this.#shows}` };
    const answer = await this.ask('show', { method: 'POST', body: JSON.stringify(own) });
    if (!answer.ok) throw new Error(await answer.text());
    const off = ['blackout', 'crew', 'allow-haze'] as const;
    for (const what of off) await this.command({ do: what, on: false });
    await this.command({ do: 'master', level: 1, fade: 0 });
    for (const phones of this.#phones.values()) phones.used = 0;
  }

  /** A phone of a role that no page of this test has yet, by its cookie; {@link plays} takes them all back. */
  async phone(role: Role, pair: () => Promise<string>): Promise<string> {
    const phones = this.#phones.get(role) ?? { cookies: [], used: 0 };
    this.#phones.set(role, phones);
    const at = phones.used++;
    const cookie = phones.cookies[at] ?? (await pair());
    phones.cookies[at] = cookie;
    return cookie;
  }

  async status(): Promise<Status> {
    return (await (await this.ask('play/status')).json()) as Status;
  }

  get file(): NodeFile {
    return JSON.parse(readFileSync(join(this.folder, 'node.json'), 'utf8')) as NodeFile;
  }

  /** SIGTERM. @returns how it ended and after how many milliseconds. */
  async stop(): Promise<Ended & { readonly millis: number }> {
    const from = performance.now();
    this.#child.kill('SIGTERM');
    const ended = await this.ended;
    return { ...ended, millis: performance.now() - from };
  }

  /** SIGKILL, as a power cut: no goodbye. */
  async kill(): Promise<void> {
    this.#child.kill('SIGKILL');
    await this.ended;
  }

  #file(): NodeFile | undefined {
    if (!existsSync(join(this.folder, 'node.json'))) return undefined;
    const { file } = this;
    return file.pid === this.pid ? file : undefined;
  }
}

function launch(
  args: readonly string[],
  { uid, disks, main = MAIN }: { uid?: number | undefined; disks?: string | undefined; main?: string | undefined },
): ChildProcess {
  const env = { PATH: process.env.PATH, HOME: tmpdir(), XDG_DATA_HOME: tmpdir() };
  const options = { env, ...(uid === undefined ? {} : { uid, gid: uid }) };
  const words = [main, ...args];
  if (disks === undefined) return spawn(process.execPath, words, options);
  // The shell becomes the node, so the process is the node's own.
  return spawn('unshare', ['--mount', 'sh', '-ec', `${disks}\nexec "$0" "$@"`, process.execPath, ...words], options);
}

function watch(child: ChildProcess): { output: { stdout: string; stderr: string }; ended: Promise<Ended> } {
  const output = { stdout: '', stderr: '' };
  for (const stream of ['stdout', 'stderr'] as const) {
    child[stream]?.setEncoding('utf8');
    child[stream]?.on('data', (text: string) => {
      output[stream] += text;
    });
  }
  const ended = new Promise<Ended>((resolve, reject) => {
    child.once('error', reject);
    child.once('close', (code, signal) => resolve({ code, signal, ...output }));
  });
  return { output, ended };
}
