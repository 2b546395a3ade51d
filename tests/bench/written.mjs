// npm run bench:disk [-- SECONDS]: bytes that a node hands to its disk, at rest and while somebody presses; judges nothing.
import { spawn } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('../../', import.meta.url));
const seconds = Number(process.argv[2] ?? 60);
/** On a disk: what goes to a file system in memory is not counted. */
const folder = mkdtempSync('/var/tmp/duskhand-written-');
const later = (millis) => new Promise((resolve) => setTimeout(resolve, millis));
const node = spawn(process.execPath, [
  ...[join(root, 'dist/node/main.js'), 'run', '--data', folder, '--show', join(root, 'shows/barn-wedding.json')],
  ...['--http', '127.0.0.1:0', '--interface', 'lo', '--name', 'off', '--sacn', '127.0.0.1:9', '--artnet', 'off'],
]);

const file = () => {
  try {
    return JSON.parse(readFileSync(join(folder, 'node.json'), 'utf8'));
  } catch {
    return undefined;
  }
};
const written = () => Number(/^write_bytes: (\d+)$/m.exec(readFileSync(`/proc/${node.pid}/io`, 'utf8'))?.[1]);
const kept = () => readdirSync(folder).reduce((sum, name) => sum + statSync(join(folder, name)).size, 0);
const MEBI = 2 ** 20;
const perHour = (bytes) => `${(((bytes / seconds) * 3600) / MEBI).toFixed(1)} MiB an hour`;

async function measure(what, act) {
  const before = written();
  const size = kept();
  const times = await act();
  console.log(
    `${what}: ${perHour(written() - before)}${times > 0 ? `, ${Math.round((written() - before) / times / 1024)} KiB a press` : ''}; the folder grew by ${Math.round((kept() - size) / 1024)} KiB to ${(kept() / MEBI).toFixed(1)} MiB`,
  );
}

try {
  while (file() === undefined) await later(50);
  await later(5000);
  const { url, token } = file();
  const post = (path, body) =>
    fetch(`${url}/api/local/${path}`, {
      method: 'POST',
      headers: { authorization: `Bearer ${token}`, 'content-type': 'application/json' },
      body: JSON.stringify(body),
    });
  const press = (button) => post('play/command', { do: 'press', button });
  await measure('at rest', async () => {
    await later(seconds * 1000);
    return 0;
  });
  await measure('a press every two seconds', async () => {
    let times = 0;
    for (const last = performance.now() + seconds * 1000; performance.now() < last; times++) {
      await press(times % 2 === 0 ? 'Dinner' : 'Arrival');
      await later(2000);
    }
    return times;
  });
  await press('Dance floor');
  await measure('chases and movements, nobody presses', async () => {
    for (const last = performance.now() + seconds * 1000; performance.now() < last; ) {
      await post('machine/beat', {});
      await later(1000);
    }
    return 0;
  });
} finally {
  const ended = new Promise((resolve) => node.once('exit', resolve));
  node.kill('SIGTERM');
  await ended;
  rmSync(folder, { recursive: true, force: true });
}
