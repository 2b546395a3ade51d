import { afterAll, afterEach, beforeAll, describe, expect, test } from 'vitest';
import { endAll, NodeProcess, until } from '../helpers/node-process.ts';
import { pair, RemoteClient } from '../helpers/remote.ts';
import { attendedShow } from './attended-show.ts';
import { Listener } from './listener.ts';

/** One node for all: each test leaves it as it found it, with nothing pressed. */
let node: NodeProcess;
let wire: Listener;
const cookies: Record<'one' | 'two' | 'helper' | 'viewer', string> = { one: '', two: '', helper: '', viewer: '' };
const phones: RemoteClient[] = [];

beforeAll(async () => {
  wire = await Listener.open();
  node = await NodeProcess.start({ show: attendedShow, sacn: wire.address });
  for (const who of ['one', 'two', 'helper', 'viewer'] as const)
    cookies[who] = await pair(node, who === 'one' || who === 'two' ? 'operator' : who);
});
afterEach(async () => {
  for (const phone of phones.splice(0)) phone.close();
  for (const { id } of (await node.status()).buttons) await node.command({ do: 'release', button: id });
  await until('rest', async () => (await node.status()).playing.every(({ item }) => item === 'look:base') || undefined);
});
afterAll(async () => {
  await endAll();
  wire.close();
});

async function phoneOf(who: keyof typeof cookies): Promise<RemoteClient> {
  const phone = await RemoteClient.open(node, cookies[who]);
  phones.push(phone);
  return phone;
}

/** Slots of universe 1 as they came over the wire last, from slot 1. */
const slot = (number: number): number | undefined => wire.heard.findLast(({ universe }) => universe === 1)?.slots[number - 1];
const becomes = (number: number, value: number, within?: number) =>
  until(`slot ${number} at ${value}`, () => (slot(number) === value ? true : undefined), within);

describe('Playing', () => {
  test('a press reaches the wire, two phones agree, and a release brings back what was below', async () => {
    const [one, two] = [await phoneOf('one'), await phoneOf('two')];
    expect((await one.command({ do: 'press', button: 'warm' })).type).toBe('done');
    await becomes(1, 153);
    await until('both phones saying on', () => [one, two].every(({ state }) => state?.buttons[0]?.state === 'on') || undefined);
    await two.command({ do: 'release', button: 'warm' });
    await becomes(1, 51);
    await until('both phones saying off', () => [one, two].every(({ state }) => state?.buttons[0]?.state === 'off') || undefined);
  });

  test('a helper has the buttons only and a viewer nothing; nobody can say what only the engine says', async () => {
    const helper = await phoneOf('helper');
    expect((await helper.command({ do: 'press', button: 'warm' })).type).toBe('done');
    for (const command of [{ do: 'blackout', on: true }, { do: 'master', level: 0 }, { do: 'all-off' }] as const) {
      expect(await helper.command(command)).toMatchObject({ type: 'refused', error: 'A helper may not do this' });
    }
    const viewer = await phoneOf('viewer');
    expect((await viewer.command({ do: 'press', button: 'full' })).type).toBe('refused');
    const operator = await phoneOf('one');
    expect((await operator.command({ do: 'fall-back' })).type).toBe('refused');
    expect(await operator.command({ do: 'press', button: 'nonsense' })).toMatchObject({
      type: 'refused',
      error: expect.stringContaining('There is no button'),
    });
  });

  test('a hit lets go when the connection ends, whoever ends it', async () => {
    const phone = await phoneOf('one');
    await phone.command({ do: 'press', button: 'bump' });
    await becomes(2, 255);
    phone.close();
    await becomes(2, 51, 1500);
  });

  test('a hit that two phones hold lets go when the second does', async () => {
    const [one, two] = [await phoneOf('one'), await phoneOf('two')];
    for (const phone of [one, two]) phone.beat();
    await one.command({ do: 'press', button: 'bump' });
    await two.command({ do: 'press', button: 'bump' });
    await becomes(2, 255);
    expect((await one.command({ do: 'release', button: 'bump' })).type).toBe('done');
    const heard = wire.heard.length;
    // The next thing that the first asks for is on the wire, and the hit still is too.
    await one.command({ do: 'press', button: 'dance' });
    await becomes(1, 255);
    expect(wire.heard.slice(heard).every(({ universe, slots }) => universe !== 1 || slots[1] === 255)).toBe(true);
    two.close();
    await becomes(2, 51, 1500);
  });

  test('a hit under a finger goes on whatever the command line presses and releases; the command line holds its own', async () => {
    const phone = await phoneOf('one');
    phone.beat();
    await phone.command({ do: 'press', button: 'bump' });
    await becomes(2, 255);
    await node.does('press', 'bump');
    expect(await node.does('release', 'bump')).toBe('"Bump" is held by a phone, and goes on until that lets it go\n');
    expect(await node.does('release', 'bump')).toContain('is held by a phone');
    expect((await node.status()).playing.map(({ item }) => item)).toContain('hit:bump');
    await node.does('press', 'bump');
    await phone.command({ do: 'release', button: 'bump' });
    // What the phone asks for next is on the wire, and the hit that the command line still holds is too.
    await phone.command({ do: 'press', button: 'dance' });
    await becomes(1, 255);
    expect(slot(2)).toBe(255);
    expect(await node.does('release', 'bump')).toBe('"Bump" is let go\n');
    await becomes(2, 51);
    expect(await node.does('release', 'bump')).toBe('"Bump" was not on\n');
  });

  test('a hit lets go when its phone falls silent without closing anything', async () => {
    const phone = await phoneOf('one');
    await phone.command({ do: 'press', button: 'bump' });
    await becomes(2, 255);
    await becomes(2, 51, 5000);
    expect(phone.closed).toBeUndefined();
  });

  test('what is driven by hand stands over the show and ends with the page', async () => {
    const phone = await phoneOf('one');
    phone.beat();
    phone.send({ type: 'by-hand', id: 900, slots: [{ universe: 1, slot: 4, value: 7 }] });
    expect((await phone.answer(900)).type).toBe('done');
    await becomes(4, 7);
    await phone.command({ do: 'blackout', on: true });
    await becomes(4, 0);
    await phone.command({ do: 'blackout', on: false });
    await becomes(4, 7);
    phone.send({ type: 'by-hand', id: 901, identify: 'lamp-3' });
    await becomes(3, 255);
    await becomes(4, 51);
    phone.close();
    await becomes(3, 51);
  });

  test('a watcher of the wire gets the bytes that go to it', async () => {
    const phone = await phoneOf('one');
    phone.send({ type: 'watch-wire', rate: 30 });
    await phone.command({ do: 'press', button: 'warm' });
    await until(
      'levels with the look',
      () => phone.levels.some((frame) => frame.readUInt16BE(0) === 1 && frame[2] === 153 && frame[3] === 153) || undefined,
    );
    expect(phone.levels.every(({ length }) => length === 2 + 512)).toBe(true);
    await until('report', () => phone.last('wire'));
  });
});

describe('Bad messages', () => {
  test('each gets a clear answer or is cut off, and nothing else suffers', async () => {
    const good = await phoneOf('one');
    const bad = await phoneOf('one');
    bad.socket.send('{"type":"command","id":5,"command":{"do":"master","level":"loud"}}');
    expect(await bad.answer(5)).toMatchObject({ type: 'refused', error: expect.stringMatching(/command\.level/) });
    bad.socket.send('not json');
    expect(await bad.answer(-1)).toMatchObject({ type: 'refused', error: expect.stringContaining('not understood') });
    bad.socket.send(Buffer.from([1, 2, 3]));
    expect((await until('cut for binary', () => bad.closed)).code).toBe(1003);

    // An operator sends edits, which are long; nobody else has anything long to say.
    for (const [role, kilobytes] of [
      ['helper', 17],
      ['operator', 1025],
    ] as const) {
      const huge = await RemoteClient.join(node, role);
      phones.push(huge);
      huge.socket.send('x'.repeat(kilobytes * 1024));
      expect((await until('cut for size', () => huge.closed)).code).toBe(1009);
    }

    const flood = await phoneOf('one');
    for (let i = 0; i < 500; i++) flood.send({ type: 'beat', id: i });
    expect((await until('cut for flooding', () => flood.closed)).code).toBe(1008);

    expect((await good.command({ do: 'press', button: 'warm' })).type).toBe('done');
    await becomes(1, 153);
  });
});
