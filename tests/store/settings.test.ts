import { describe, expect, it } from 'vitest';
import { NodeSettings } from '../../node/api/node-settings.ts';
import { checkSettings } from '../../node/settings/check.ts';
import { openDatabase } from '../../node/store/database.ts';
import { keepSettings, SettingsTable, settingsIn, standardSettings, takeOverIn } from '../../node/store/settings.ts';
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
    const db = openDatabase(newFolder());
    db.prepare('INSERT INTO setting (name, value) VALUES (?, ?)').run('outputs', '[{"id": "x", "protocol": "usb"}]');
    const said: string[] = [];
    const settings = new NodeSettings(new SettingsTable(db), { sacn: 'off' }, (line) => said.push(line));
    expect(settings.outputs.map(({ id }) => id)).toEqual(['artnet']);
    expect(said).toEqual([expect.stringContaining('cannot be used (outputs[0].protocol: must be one of "sacn", "artnet"')]);
    settings.set(own, []);
    expect(new SettingsTable(db).read()).toEqual(own);
    expect(settings.outputs).toEqual([]);
    db.close();
  });
});
