import { describe, expect, it } from 'vitest';
import { readGdtf } from '../../../node/rig/gdtf/read.ts';
import { channel, description, zipped } from './made-file.ts';
import { png } from './made-png.ts';

const slots = (...names: string[]) => names.map((name) => `<Slot Name="${name}" MediaFileName="${name}"/>`).join('');
const xml = (...names: string[]) =>
  description({
    wheels: `<Wheel Name="G"><Slot Name="Open"/>${slots(...names)}</Wheel>`,
    channels: channel('1', 'Gobo1', '<ChannelFunction Name="G" Attribute="Gobo1" Wheel="G"/>'),
  });
const left = async (files: Record<string, Uint8Array>, ...names: string[]) => {
  const { type, images } = await readGdtf(zipped({ 'description.xml': xml(...names), ...files }));
  return { images: images.map(({ name }) => name), left: type.source?.left.join('\n') ?? '' };
};

/** GDTF, DIN SPEC 15800:2022-02: MediaFileName is a PNG in the folder wheels, without its ending. */
describe('The pictures of a wheel', () => {
  it('are taken out of the archive as they are, and no other file is', async () => {
    const dots = png(16, 16);
    const file = zipped({
      'description.xml': xml('dots'),
      'wheels/dots.png': dots,
      'wheels/stars.png': png(8, 8),
      'thumbnail.png': dots,
    });
    const { type, images } = await readGdtf(file);
    expect(images.map(({ name, bytes }) => [name, Buffer.from(bytes)])).toEqual([['dots', Buffer.from(dots)]]);
    expect(type.wheels.Gobo1?.[1]?.image).toBe('dots');
    expect(type.source?.left.join()).toContain('other files of the archive (2)');
  });

  it('that are missing, no PNG, or too large are told by name, and the lamp is read all the same', async () => {
    const script = new TextEncoder().encode('<script>alert(1)</script>'.padEnd(64));
    const noise = Uint8Array.from({ length: 1.2e6 }, (_, i) => Math.imul(i, 2654435761) >>> 13);
    const found = await left(
      { 'wheels/script.png': script, 'wheels/wide.png': png(4096, 1), 'wheels/heavy.png': noise, 'wheels/GOOD.PNG': png(1, 1) },
      'gone',
      'script',
      'wide',
      'heavy',
      'good',
    );
    expect(found.images).toEqual(['good']);
    expect(found.left).toContain('The picture "gone" of a wheel is not kept: it is not in the archive');
    expect(found.left).toContain('"script" of a wheel is not kept: it is no PNG');
    expect(found.left).toContain('"wide" of a wheel is not kept: it has 4096 × 1 pixels');
    expect(found.left).toMatch(/"heavy" of a wheel is not kept: .*2 MB, and 1 MB are allowed/);
  });

  it('are no more than can be kept', async () => {
    const names = Array.from({ length: 70 }, (_, i) => `g${i}`).slice(0, 63);
    const more = await left(Object.fromEntries(names.map((name) => [`wheels/${name}.png`, png(2, 2)])), ...names);
    expect(more.images).toHaveLength(63);
    const heavy = names.slice(0, 12);
    const full = await left(Object.fromEntries(heavy.map((name) => [`wheels/${name}.png`, png(1, 1, 900_000)])), ...heavy);
    expect(full.images).toHaveLength(9);
    expect(full.left).toContain('"g11" of a wheel is not kept: there are more than can be kept');
  });
});
