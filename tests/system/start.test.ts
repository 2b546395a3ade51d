import { existsSync, readFileSync, statSync } from 'node:fs';
import { type AddressInfo, createServer } from 'node:net';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { duskhand, endAll, LOOPBACK, NodeProcess, newFolder, showFile, until } from '../helpers/node-process.ts';
import { Listener } from './listener.ts';
import { BASE, plainShow } from './plain-show.ts';

let wire: Listener;
beforeEach(async () => {
  wire = await Listener.open();
});
afterEach(async () => {
  await endAll();
  wire.close();
});

const run = (folder: string, ...more: string[]) => [
  ...['run', '--data', folder, '--http', '127.0.0.1:0', ...LOOPBACK, '--sacn', 'off', '--artnet', 'off'],
  ...more,
];
/** One line, which is what a person reads; not the trace of a program that fell over. */
const line = (text: string | RegExp) => new RegExp(`^(?:${typeof text === 'string' ? text : text.source})[^\\n]*\\n$`);

describe('a start that cannot be', () => {
  it('is refused while another node has the folder, which plays on', async () => {
    const node = await NodeProcess.start({ show: plainShow, sacn: wire.address });
    const second = await duskhand(run(node.folder));
    expect(second.code).toBe(1);
    expect(second.stderr).toMatch(line('A node is running already with the data folder '));
    expect(second.stdout).toBe('');
    await wire.next('frame after that', () => true);
    expect((await node.status()).show.id).toBe('plain');
  });

  it('of a command is refused where the store was made by a newer Duskhand, which is left as it is', async () => {
    const folder = newFolder();
    const file = join(folder, 'duskhand.sqlite');
    const db = new Database(file);
    db.pragma('journal_mode = WAL');
    db.exec('CREATE TABLE of_the_future (x)');
    db.pragma('user_version = 999');
    db.close();
    const before = readFileSync(file);
    for (const args of [
      ['export', '--data', folder],
      ['import', '--data', folder, showFile(plainShow)],
    ]) {
      const { code, stdout, stderr } = await duskhand(args);
      expect(stderr).toMatch(line('The store in .* was made by a newer Duskhand'));
      expect(code).toBe(1);
      expect(stdout).toBe('');
    }
    expect(readFileSync(file).equals(before)).toBe(true);
  });

  it('is refused where the data folder is a file, or the show cannot be read or has mistakes', async () => {
    const file = showFile('{}');
    expect((await duskhand(run(file))).stderr).toMatch(line('The data folder .* cannot be used: '));
    const folder = newFolder();
    const missing = await duskhand(run(folder, '--show', join(folder, 'missing.json')));
    expect(missing.stderr).toMatch(line('.*missing.json cannot be read: there is no such file'));
    expect(missing.code).toBe(1);
    const wrong = await duskhand(run(folder, '--show', showFile({ ...plainShow, tempo: 3000 })));
    expect(wrong.stderr).toBe('The show has mistakes\n  tempo: must be at most 300 (found 3000)\n');
    expect(wrong.code).toBe(1);
  });
});

describe('a web port that is taken', () => {
  it('costs no light: the node plays, says so in one line, and listens when the port is free', async () => {
    const holder = createServer();
    await new Promise<void>((resolve) => holder.listen(0, '127.0.0.1', resolve));
    const { port } = holder.address() as AddressInfo;
    const node = await NodeProcess.start({ show: plainShow, sacn: wire.address, http: `127.0.0.1:${port}` }, 'line');
    await wire.next('frame', () => wire.latest()?.join() === BASE.join(), 0);
    const complaint = new RegExp(
      `^The web server cannot listen on 127.0.0.1:${port} \\(.*EADDRINUSE.*\\). The lights play on`,
      'm',
    );
    await node.says('stderr', complaint);
    expect((await node.client('status')).stderr).toMatch(line('No node is running with the data folder '));
    // It cannot be told of a show now, so none is put into its store behind its back.
    expect((await node.client('import', showFile(plainShow))).stderr).toMatch(line('A node is running already with '));

    holder.close();
    // It tries again every five seconds.
    const { show } = JSON.parse(await answer(node)) as { show: { id: string } };
    expect(show.id).toBe('plain');
    expect(node.stderr.match(/The web server cannot listen/g)).toHaveLength(1);
  });
});

/** Asks for the status until somebody answers. */
async function answer(node: NodeProcess): Promise<string> {
  for (const last = performance.now() + 15_000; ; ) {
    const { code, stdout, stderr } = await node.client('status', '--json');
    if (code === 0) return stdout;
    if (performance.now() > last) throw new Error(stderr);
  }
}

describe('the first answer of a node', () => {
  it('names the revision that plays, though its show has only just come', async () => {
    for (let start = 0; start < 2; start++) {
      const node = await NodeProcess.start({ show: plainShow });
      expect((await node.status()).show.revision).toBe(1);
      await node.stop();
    }
  });
});

describe('node.json', () => {
  const nobody = line('No node is running with the data folder ');

  it('is for the eyes of its user only, and goes when the node goes', async () => {
    const node = await NodeProcess.start({ show: plainShow });
    const path = join(node.folder, 'node.json');
    expect(statSync(path).mode & 0o777).toBe(0o600);
    // Ctrl+C is as good as SIGTERM.
    process.kill(node.pid, 'SIGINT');
    expect(await node.ended).toMatchObject({ code: 0, signal: null });
    expect(existsSync(path)).toBe(false);
    expect(await node.client('status')).toMatchObject({ code: 1, stdout: '', stderr: expect.stringMatching(nobody) });
  });

  it('of a node that died leads nowhere, and the next start replaces it', async () => {
    const node = await NodeProcess.start({ show: plainShow });
    const { token } = node.file;
    // A start writes nothing before its first frame.
    await until('the show is kept', async () => (await node.status()).show.revision > 0 || undefined);
    await node.kill();
    expect(await node.client('press', 'warm')).toMatchObject({ code: 1, stdout: '', stderr: expect.stringMatching(nobody) });
    const again = await NodeProcess.start({ folder: node.folder });
    expect(again.file.token).not.toBe(token);
    expect((await again.status()).show.id).toBe('plain');
  });
});
