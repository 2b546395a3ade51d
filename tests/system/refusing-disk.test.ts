import { rmSync } from 'node:fs';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { isRoot } from '../helpers/namespace.ts';
import { endAll, NodeProcess, newFolder, showFile, until } from '../helpers/node-process.ts';
import { Listener } from './listener.ts';
import { BASE, plainShow } from './plain-show.ts';

/** Disks that do not take a byte: read-only and full ones, in mount namespaces of the nodes. The lights come first. */
let wire: Listener;
beforeEach(async () => {
  wire = await Listener.open();
});
afterEach(async () => {
  await endAll();
  wire.close();
});

const WARM = [153, 153, 51, 51];
/** All that is not held in memory, as a card is that the system has found broken. */
const readOnly = (...folders: string[]): string =>
  folders.map((folder) => `mount --bind ${folder} ${folder}; mount -o remount,ro,bind ${folder}`).join('\n');
/** A small disk in the place of a folder, with what lies in that and not a byte more. */
const full = (folder: string): string => `mkdir ${folder}/disk
mount -t tmpfs -o size=2m tmpfs ${folder}/disk
cp -a ${folder}/data ${folder}/disk/data 2>/dev/null || mkdir ${folder}/disk/data
dd if=/dev/zero of=${folder}/disk/fill bs=1k 2>/dev/null || true`;

/** @returns the folder of a node that was killed while "warm" was on. */
async function played(folder = newFolder()): Promise<string> {
  const node = await NodeProcess.start({ folder, show: plainShow, sacn: wire.address });
  await node.does('press', 'Warm walls');
  await node.kill();
  return folder;
}

async function startOn(folder: string, disks: string, show?: string): Promise<{ node: NodeProcess; first: number[] }> {
  const before = await wire.count();
  const node = await NodeProcess.start({ folder, disks, sacn: wire.address, ...(show === undefined ? {} : { show }) }, 'line');
  const { slots } = await wire.next('packet on universe 1', ({ universe }) => universe === 1, before);
  return { node, first: [...slots.slice(0, 4)] };
}

/** The whole machine read-only but for one folder, as a card is that power cuts shall not spoil. */
const onlyWritable = (folder: string): string => `mount --bind ${folder} ${folder}
mount -o remount,ro,bind /
mount -t tmpfs -o ro tmpfs /dev/shm
if touch /var/tmp/duskhand-test 2>/dev/null; then exit 9; fi`;

describe.runIf(isRoot)('a node on a read-only system', () => {
  it('needs one writable folder and no other: it plays, remembers over a power cut, and has nothing to complain of', async () => {
    const folder = newFolder();
    const { node, first } = await startOn(folder, onlyWritable(folder), showFile(plainShow));
    expect(first).toEqual(BASE);
    await node.does('press', 'Warm walls');
    await node.kill();
    const again = await startOn(folder, onlyWritable(folder));
    expect(again.first).toEqual(WARM);
    await until('answer', () => again.node.status().catch(() => undefined));
    expect(node.stderr + again.node.stderr).not.toMatch(/EROFS|read-only|cannot be written/);
  });
});

describe.runIf(isRoot)('a node whose disk', () => {
  it('is read-only, and every other one too, plays what was on and says so', async () => {
    const folder = await played();
    const { node, first } = await startOn(folder, readOnly('/tmp', '/var/tmp', folder));
    expect(first).toEqual(WARM);
    await node.says('stderr', /EROFS.* It is read from a copy in memory: what is changed now is lost at the next start/);
    await node.says('stderr', /What plays cannot be written down .* The lights play on/);
  });

  it('is full plays what was on, and writes down what plays when there is room', async () => {
    const folder = newFolder();
    await played(`${folder}/data`);
    const { node, first } = await startOn(`${folder}/disk/data`, full(folder));
    expect(first).toEqual(WARM);
    await node.says('stderr', /What plays cannot be written down .* The lights play on/);
    rmSync(`/proc/${node.pid}/root${folder}/disk/fill`);
    await node.says('stderr', /What plays is written down again/);
  });

  it('is full and never held a show plays the show file that it is given, and keeps it when there is room', async () => {
    const folder = newFolder();
    const { node, first } = await startOn(`${folder}/disk/data`, full(folder), showFile(plainShow));
    expect(first).toEqual(BASE);
    await node.says('stderr', /What plays cannot be written down .* The lights play on/);
    expect(node.stderr).not.toMatch(/No show can be read/);
    rmSync(`/proc/${node.pid}/root${folder}/disk/fill`);
    await node.says('stderr', /What plays is written down again/);
  });

  it('has no room for its folder at all plays the show file that it is given', async () => {
    const folder = newFolder();
    const { node, first } = await startOn(`${folder}/not/there`, readOnly(folder), showFile(plainShow));
    expect(first).toEqual(BASE);
    await node.says('stderr', /What plays cannot be written down .* The lights play on/);
  });
});
