import { spawn } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import process from 'node:process';
import { fileURLToPath } from 'node:url';
import { watchWire } from './wire-page.mjs';

const MAIN = fileURLToPath(new URL('../../dist/node/main.js', import.meta.url));
const PATIENCE = 20_000;
const pause = (millis) => new Promise((resolve) => setTimeout(resolve, millis));

/** Asks until there is an answer. */
export async function until(what, ask, within = PATIENCE) {
  for (const last = performance.now() + within; ; await pause(10)) {
    const answer = await ask();
    if (answer !== undefined && answer !== false) return answer;
    if (performance.now() > last) throw new Error(`After ${within / 1000} s there is still no ${what}`);
  }
}

/** The node as it is delivered, on the loopback, and an operator who watches its wire page. */
export class RunningNode {
  reports = [];
  stderr = '';
  #folder = mkdtempSync(join(tmpdir(), 'duskhand-fuzz-'));
  #child;
  #endWatching = () => undefined;

  /** `to`: where its sACN goes. Art-Net goes to whoever subscribes on the loopback. */
  async start(show, to) {
    const showFile = join(this.#folder, 'show.json');
    writeFileSync(showFile, JSON.stringify(show));
    const outputs = ['--interface', 'lo', '--sacn', to, '--artnet', 'auto', '--name', 'off'];
    const words = ['run', '--data', this.#folder, '--http', '127.0.0.1:0', '--show', showFile, ...outputs];
    this.#child = spawn(process.execPath, [MAIN, ...words], { stdio: ['ignore', 'ignore', 'pipe'] });
    this.#child.stderr.setEncoding('utf8').on('data', (text) => {
      this.stderr += text;
    });
    const file = await until('node.json', () => this.#nodeFile());
    this.#endWatching = await watchWire(file, (report) => this.reports.push(report));
    await until('report on the wire', () => this.reports.length > 0);
  }

  get pid() {
    return this.#child.pid;
  }

  get runs() {
    return this.#child.exitCode === null && this.#child.signalCode === null;
  }

  /** Resident memory in megabytes. */
  get megabytes() {
    return Number(/^VmRSS:\s+(\d+) kB$/m.exec(readFileSync(`/proc/${this.pid}/status`, 'utf8'))[1]) / 1024;
  }

  /** Datagrams that the kernel dropped because the node did not fetch them from a port in time. */
  dropped(port) {
    const hex = port.toString(16).toUpperCase().padStart(4, '0');
    const lines = readFileSync(`/proc/${this.pid}/net/udp`, 'utf8').split('\n');
    return lines
      .filter((line) => line.includes(`:${hex} 00000000:0000`))
      .reduce((sum, line) => sum + Number(line.trim().split(/\s+/).at(-1)), 0);
  }

  /** SIGTERM. @returns its exit code. */
  async stop() {
    const ended = new Promise((resolve) => this.#child.once('exit', (code) => resolve(code)));
    this.#child.kill('SIGTERM');
    const late = setTimeout(() => this.#child.kill('SIGKILL'), PATIENCE);
    const code = await ended;
    clearTimeout(late);
    return code;
  }

  /** However it went. */
  async clear() {
    this.#endWatching();
    if (this.#child !== undefined && this.runs) {
      this.#child.kill('SIGKILL');
      await new Promise((resolve) => this.#child.once('exit', resolve));
    }
    rmSync(this.#folder, { recursive: true, force: true });
  }

  #nodeFile() {
    try {
      const file = JSON.parse(readFileSync(join(this.#folder, 'node.json'), 'utf8'));
      return file.pid === this.pid ? file : undefined;
    } catch {
      if (!this.runs) throw new Error(`The node has ended: ${this.stderr}`);
      return undefined;
    }
  }
}
