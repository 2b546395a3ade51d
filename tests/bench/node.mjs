import { execFileSync, spawn } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import process from 'node:process';
import { file, pause } from './common.mjs';
import { settingsOf } from './show.mjs';

/** Starts the compiled node with a show and outputs of its own and an empty data folder, on loopback only. */
export async function startNode(show, outputs) {
  const folder = mkdtempSync(join(tmpdir(), 'duskhand-bench-'));
  const document = join(folder, 'show.json');
  const settings = join(folder, 'settings.json');
  writeFileSync(document, JSON.stringify(show));
  writeFileSync(settings, JSON.stringify(settingsOf(outputs)));
  execFileSync(process.execPath, [file('../../dist/node/main.js'), 'settings', settings, '--data', folder]);
  const words = ['run', '--show', document, '--data', folder, '--http', '127.0.0.1:0', '--name', 'off', '--fresh'];
  const child = spawn(process.execPath, [file('../../dist/node/main.js'), ...words], { stdio: ['ignore', 'ignore', 'ignore'] });
  const raze = () => child.kill('SIGKILL');
  process.once('exit', raze);
  return {
    pid: child.pid,
    /** Where it listens and by what token, once it says so in its data folder. */
    async access() {
      for (let tries = 0; tries < 200; tries++) {
        try {
          return JSON.parse(readFileSync(join(folder, 'node.json'), 'utf8'));
        } catch {
          await pause(50);
        }
      }
      throw new Error('the node does not start');
    },
    async stop() {
      const ended = new Promise((resolve) => child.once('exit', resolve));
      child.kill('SIGTERM');
      await ended;
      process.off('exit', raze);
      rmSync(folder, { recursive: true, force: true });
    },
  };
}
