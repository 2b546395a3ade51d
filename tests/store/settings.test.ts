import { describe, expect, it } from 'vitest';
import { NodeSettings } from '../../node/api/node-settings.ts';
import { checkSettings, standardSettings } from '../../node/settings/check.ts';
import type { Settings } from '../../node/settings/settings.ts';
import { beginningOf } from '../../node/store/beginning.ts';
import { openDatabase } from '../../node/store/database.ts';
import { keepSettings, SettingsTable, settingsIn, takeOverIn } from '../../node/store/settings.ts';
import { storeInPlace } from '../helpers/store-in-place.ts';
import { newFolder } from './new-folder.ts';

const own = checkSettings({
  format: 'duskhand-settings',
  version: 1,
  name: 'Booth',
  outputs: [{ id: 'one', protocol: 'sacn', to: ['192.0.2.7'] }],
});
const others = checkSettings({ ...own, outputs: [{ id: 'other', protocol: 'artnet' }] }).outputs;

describe('the settings of a node', () => {
  it('are the standard ones until they are set, and outlive it from then on', () => {
    const folder = newFolder();
    expect(settingsIn(`${folder}/none`)).toEqual(standardSettings);
    keepSettings(folder, own);
    expect(settingsIn(folder)).toEqual(own);
    keepSettings(folder, { format: 'duskhand-settings', version: 1 });
    expect(settingsIn(folder)).toEqual(standardSettings);
  });

  it('take over what an old show held, the first time only', () => {
    const folder = newFolder();
    expect(takeOverIn(folder, undefined)).toBeUndefined();
    expect(takeOverIn(folder, standardSettings.outputs)).toBeUndefined();
    expect(takeOverIn(folder, own.outputs)).toContain('those of this node from now on');
    expect(takeOverIn(folder, own.outputs)).toBeUndefined();
    expect(takeOverIn(folder, others)).toContain('left out');
    expect(settingsIn(folder).outputs).toEqual(own.outputs);
  });

  it('that cannot be used keep no room dark: the standard ones hold, and it is said', () => {
    const folder = newFolder();
    const db = openDatabase(folder);
    db.prepare('INSERT INTO setting (name, value) VALUES (?, ?)').run('outputs', '[{"id": "x", "protocol": "usb"}]');
    db.close();
    const { settings, areSet, said } = beginningOf(folder, undefined, new URL('../../shows/barn-wedding.json', import.meta.url));
    expect(settings).toEqual(standardSettings);
    expect(areSet).toBe(true);
    expect(said).toEqual([expect.stringContaining('cannot be used (outputs[0].protocol: must be one of "sacn", "artnet"')]);
  });

  it('of a running node are kept before they hold, and the flags stand over them', async () => {
    const db = openDatabase(newFolder());
    const { ask } = storeInPlace(db);
    const keep = (kept: Settings) => ask('keepSettings', kept);
    const settings = new NodeSettings({ kept: standardSettings, areSet: false, flags: { sacn: 'off' }, zone: 'UTC', keep });
    expect(settings.outputs.map(({ id }) => id)).toEqual(['artnet']);
    await settings.set(own, []);
    expect(new SettingsTable(db).read()).toEqual(own);
    expect(settings.outputs).toEqual([]);
    db.close();
    await expect(settings.set(standardSettings, [])).rejects.toThrow();
    expect(settings.kept).toEqual(own);
  });
});
