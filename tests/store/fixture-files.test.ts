import { describe, expect, it } from 'vitest';
import { readGdtf } from '../../node/rig/gdtf/read.ts';
import { FixtureFileTable, keepType, typesIn, typesOf } from '../../node/store/fixture-files.ts';
import { lockFolder } from '../../node/store/lock.ts';
import { channel, description, gdtf, plain } from '../rig/gdtf/made-file.ts';
import { newFolder, open } from './new-folder.ts';

const AT = Date.UTC(2030, 5, 15);
const file = (...attributes: string[]) =>
  gdtf(description({ channels: attributes.map((one, i) => plain(`${i + 1}`, one)).join('') }));
const of = (bytes: Buffer, guid: string) =>
  readGdtf(bytes).then(({ type }) => ({ ...type, source: { kind: 'gdtf' as const, id: guid, left: [] } }));

describe('imported fixture types', () => {
  it('are found by their id, newest first, with the file as it came', async () => {
    const types = new FixtureFileTable(open());
    const [first, second] = [file('Dimmer'), file('Dimmer', 'Pan')];
    expect(types.find('invented-moth')).toBeUndefined();
    types.keep(first, 'moth.gdtf', (await readGdtf(first)).type, AT);
    types.keep(second, 'moth-2.gdtf', (await readGdtf(second)).type, AT);
    expect(types.find('invented-moth')).toEqual((await readGdtf(second)).type);
    expect(types.fileOf('invented-moth')).toEqual({ name: 'moth-2.gdtf', bytes: second });
    expect(types.list().map(({ id }) => id)).toEqual(['invented-moth']);
  });

  it('keep every import, but none twice in a row', async () => {
    const db = open();
    const types = new FixtureFileTable(db);
    const [first, second] = [file('Dimmer'), file('Dimmer', 'Pan')];
    for (const bytes of [first, first, second, first]) types.keep(bytes, 'x', (await readGdtf(bytes)).type, AT);
    expect(db.prepare('SELECT count(*) AS n FROM fixture_type').get()).toEqual({ n: 3 });
    expect(db.prepare('SELECT count(*) AS n FROM fixture_file').get()).toEqual({ n: 2 });
    expect(types.fileOf('invented-moth')?.bytes).toEqual(first);
  });

  it('of another GUID never take the place of one with the same name', async () => {
    const types = new FixtureFileTable(open());
    const [first, second] = [file('Dimmer'), file('Pan')];
    expect(types.keep(first, 'a', await of(first, 'a'), AT).id).toBe('invented-moth');
    expect(types.keep(second, 'b', await of(second, 'b'), AT).id).toBe('invented-moth-2');
    expect(types.keep(first, 'a', await of(first, 'A'), AT).id).toBe('invented-moth');
    expect(types.find('invented-moth')?.modes[0]?.channels[0]?.functions[0]?.attribute).toBe('Dimmer');
  });

  it('are renewed under their id with what their file comes to now, and keep how they were read before', async () => {
    const db = open();
    const types = new FixtureFileTable(db);
    const bytes = file('Dimmer');
    const { type: read } = await readGdtf(bytes);
    const id = types.keep(bytes, 'moth.gdtf', { ...read, powerW: 1 }, AT).id;
    expect(types.renew(id, read, AT)).toBe(true);
    expect(types.renew(id, { ...read, id: 'elsewhere' }, AT)).toBe(false);
    expect(types.renew('gone', read, AT)).toBe(false);
    expect(types.find(id)).toEqual({ ...read, id });
    expect(types.list()).toHaveLength(1);
    expect(types.fileOf(id)?.bytes).toEqual(bytes);
    expect(db.prepare('SELECT count(*) AS n FROM fixture_type').get()).toEqual({ n: 2 });
  });

  it('have the pictures of their slots, and those of the file that was read last', async () => {
    const types = new FixtureFileTable(open());
    const wheel = '<Wheel Name="G"><Slot Name="Open"/><Slot Name="Dots" MediaFileName="dots"/></Wheel>';
    const xml = description({ wheels: wheel, channels: channel('1', 'Gobo1', '<ChannelFunction Attribute="Gobo1" Wheel="G"/>') });
    const bytes = gdtf(xml);
    const { type } = await readGdtf(bytes);
    const image = (...of: number[]) => [{ name: 'dots', bytes: Uint8Array.from(of) }];
    types.keep(bytes, 'moth.gdtf', type, AT);
    expect(types.imageOf(type.id, 'Gobo1', 2)).toBeUndefined();
    types.renew(type.id, type, AT, image(1, 2));
    expect(types.imageOf(type.id, 'Gobo1', 2)).toEqual(Buffer.from([1, 2]));
    for (const [id, of, slot] of [
      [type.id, 'Gobo1', 1],
      [type.id, 'Gobo1', 3],
      [type.id, 'constructor', 1],
      [type.id, 'Gobo1', Number.NaN],
      ['gone', 'Gobo1', 2],
    ] as const)
      expect(types.imageOf(id, of, slot)).toBeUndefined();
  });

  it('go into a folder that no node has, and are there for whoever looks', async () => {
    const folder = newFolder();
    const bytes = file('Dimmer');
    expect(typesIn(folder)).toEqual([]);
    expect(typesOf(folder)('invented-moth')).toBeUndefined();
    keepType(folder, bytes, 'moth.gdtf', await readGdtf(bytes), AT);
    expect(typesIn(folder).map(({ id }) => id)).toEqual(['invented-moth']);
    expect(typesOf(folder)('invented-moth')?.name).toBe('Moth');
    const unlock = lockFolder(folder);
    const read = await readGdtf(bytes);
    expect(() => keepType(folder, bytes, 'moth.gdtf', read, AT)).toThrow('A node is running already');
    unlock();
  });
});
