import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { duskhand, endAll, NodeProcess, newFolder } from '../helpers/node-process.ts';
import { RemoteClient } from '../helpers/remote.ts';
import { costlyFiles } from '../rig/gdtf/costly-files.ts';
import { gdtf } from '../rig/gdtf/made-file.ts';
import { attendedShow } from './attended-show.ts';
import { type Heard, Listener } from './listener.ts';

let wire: Listener;
beforeEach(async () => {
  wire = await Listener.open();
});
afterEach(async () => {
  await endAll();
  wire.close();
});

/** The longest that the node may leave a question unanswered: a beat comes every half second, and a hit lets go after some that do not. */
const LONGEST = 1000;

it('files that ask for much work let no held hit go and keep the main thread free', async () => {
  const node = await NodeProcess.start({ show: attendedShow, sacn: wire.address });
  const phone = await RemoteClient.join(node);
  phone.beat();
  // Something moves, so that the wire has something to say.
  await node.command({ do: 'press', button: 'Round' });
  const url = `${node.file.url}/api/local/types?name=x`;
  const headers = { authorization: `Bearer ${node.file.token}`, 'content-type': 'application/octet-stream' };
  let longest = 0;
  for (const [what, xml] of Object.entries(costlyFiles)) {
    await phone.command({ do: 'press', button: 'bump' });
    const before = wire.heard.length;
    await wire.next('hit on lamp 2', isHit, 0);
    let done = false;
    const from = performance.now();
    const answer = fetch(url, { method: 'POST', body: new Uint8Array(gdtf(xml())), headers }).finally(() => {
      done = true;
    });
    while (!done) {
      const asked = performance.now();
      await node.status();
      longest = Math.max(longest, performance.now() - asked);
      await new Promise((resolve) => setTimeout(resolve, 20));
    }
    const { status } = await answer;
    const text = await (await answer).text();
    process.stdout.write(`${what}: ${status} after ${Math.round(performance.now() - from)} ms\n`);
    // Read, or refused for what is wrong with it, before its thread is ended.
    expect([200, 422]).toContain(status);
    expect(text).not.toMatch(/takes more than/);
    await wire.next('hit on lamp 2 after that', isHit);
    const since = wire.heard.slice(before).filter(({ universe }) => universe === 1);
    const first = since.findIndex(isHit);
    expect(since.slice(first).every(isHit)).toBe(true);
    await phone.command({ do: 'release', button: 'bump' });
    await wire.next('lamp 2 without the hit', (packet) => packet.universe === 1 && !isHit(packet), 0);
  }
  process.stdout.write(`The slowest question was answered after ${Math.round(longest)} ms\n`);
  expect(longest).toBeLessThan(LONGEST);
  phone.close();
}, 240_000);

const isHit = ({ universe, slots }: Heard): boolean => universe === 1 && slots[1] === 255;

it('the command line without a node reads within the same limits', async () => {
  const file = join(newFolder(), 'copies.gdtf');
  writeFileSync(file, gdtf(costlyFiles['copies of copies of geometries']?.() ?? ''));
  const { code, stderr } = await duskhand(['import-type', '--data', newFolder(), file]);
  expect(code).toBe(1);
  expect(stderr).toContain('refer to each other more often than can be followed');
});
