import { afterAll, describe, test } from 'vitest';
import { endAll, NodeProcess, until } from '../helpers/node-process.ts';
import { RemoteClient } from '../helpers/remote.ts';
import { attendedShow } from './attended-show.ts';
import { Listener } from './listener.ts';

/** What it waits for takes ten seconds of everybody's silence, so each test has a node of its own and they run side by side. */
const wires: Listener[] = [];
afterAll(async () => {
  await endAll();
  for (const wire of wires) wire.close();
});

async function evening() {
  const wire = await Listener.open();
  wires.push(wire);
  const node = await NodeProcess.start({ show: attendedShow, sacn: wire.address });
  /** Slots of universe 1 as they came over the wire last, from slot 1. */
  const slot = (number: number): number | undefined => wire.heard.findLast(({ universe }) => universe === 1)?.slots[number - 1];
  const becomes = (number: number, value: number) =>
    until(`slot ${number} at ${value}`, () => (slot(number) === value ? true : undefined));
  return { node, wire, slot, becomes, phone: await RemoteClient.join(node) };
}

describe.concurrent('The fallback', () => {
  test('comes after silence and a warning, takes what is attended, stops haze and strobe, stays until resumed', async ({
    expect,
  }) => {
    const { node, slot, becomes, phone } = await evening();
    phone.beat();
    await phone.command({ do: 'allow-haze', on: true });
    for (const button of ['warm', 'wild', 'dance']) await phone.command({ do: 'press', button });
    await becomes(1, 255);
    await becomes(21, 255);
    await until('watch', () => phone.state?.watch.phase === 'kept' || undefined);
    // The watch comes over the socket; the light of the par, and with it its strobe, when the flash guard lets it rise.
    await until('the strobe', () => (slot(15) ?? 0) > 0 || undefined);

    phone.faint();
    await until('warning', () => phone.state?.watch.phase === 'warned' || undefined, 8000);
    expect(slot(1)).toBe(255);
    await until('fallback', () => phone.state?.watch.phase === 'fallen' || undefined, 8000);
    expect(phone.state?.watch.fallback).toBe('blackout');
    // Lamp 1: the attended look is gone, with whatever it hid; the others run alone: lamp 2 in its look, lamp 3 in the base.
    await becomes(1, 153);
    expect([slot(2), slot(3)]).toEqual([153, 51]);
    await becomes(21, 0);
    await becomes(15, 0);
    await becomes(11, 255);

    // A living remote brings nothing back by itself; a resume does.
    phone.beat();
    await phone.command({ do: 'press', button: 'full' });
    await becomes(1, 255);
    const frames = (await node.status()).frames;
    await until('40 frames more', async () => (await node.status()).frames > frames + 40 || undefined);
    expect(phone.state?.watch.phase).toBe('fallen');
    expect(slot(21)).toBe(0);
    await phone.command({ do: 'resume' });
    await becomes(21, 255);
    expect(slot(1)).toBe(255);
    phone.close();
  });

  test('does not come while nothing attended plays, nor while a remote beats', async ({ expect }) => {
    const { node, slot, becomes, phone } = await evening();
    await phone.command({ do: 'press', button: 'warm' });
    await until('state', () => phone.state?.watch.phase === 'free' || undefined);
    await phone.command({ do: 'press', button: 'dance' });
    phone.beat();
    await becomes(1, 255);
    const { frames } = await node.status();
    await until('eleven seconds of frames', async () => (await node.status()).frames > frames + 11 * 40 || undefined);
    expect(phone.state?.watch.phase).toBe('kept');
    expect(slot(1)).toBe(255);
    phone.close();
  });

  test('is remembered over a kill: what was taken stays away until resumed', async ({ expect }) => {
    const { node, wire, becomes, phone } = await evening();
    await phone.command({ do: 'press', button: 'dance' });
    await becomes(1, 255);
    await until('fallback', () => phone.state?.watch.phase === 'fallen' || undefined, 14_000);
    await becomes(1, 51);
    await node.kill();
    const before = await wire.count();
    const again = await NodeProcess.start({ folder: node.folder, sacn: wire.address });
    expect((await again.status()).watch.phase).toBe('fallen');
    await wire.next('light after the start', ({ universe }) => universe === 1, before);
    const since = wire.heard.slice(before).filter(({ universe }) => universe === 1);
    expect(new Set(since.map(({ slots }) => slots[0]))).toEqual(new Set([51]));
    await again.does('resume');
    await becomes(1, 255);
  });
});
