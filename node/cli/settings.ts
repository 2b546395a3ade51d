import { resolve } from 'node:path';
import type { Command } from 'commander';
import type { FlagsOver } from '../api/local-contract.ts';
import { NodeClient } from './client.ts';

/** What these commands do in the store of a folder that no node has open. */
export interface OfflineSettings {
  readonly readJson: (file: string) => unknown;
  readonly settings: (folder: string) => unknown;
  readonly keepSettings: (folder: string, settings: unknown) => void;
}

/** What belongs to the node and to no show. */
export function addSettingsCommand(
  duskhand: Command,
  offline: () => Promise<OfflineSettings>,
  data: readonly [flags: string, description: string, standard: string],
  { print, note }: Readonly<Record<'print' | 'note', (...lines: readonly string[]) => void>>,
): void {
  duskhand
    .command('settings')
    .description('print the settings of the node (outputs, name) as JSON, or set them')
    .argument('[file]', 'JSON to set them from; what it leaves out goes back to standard')
    .option(...data)
    .action(async (file: string | undefined, options: { data: string }) => {
      const folder = resolve(options.data);
      const node = new NodeClient(folder);
      if (file === undefined) {
        const isRunning = await node.isRunning();
        const settings = isRunning ? await node.get('settings') : (await offline()).settings(folder);
        print(...JSON.stringify(settings, null, 2).split('\n'));
        if (isRunning) note(...flagLines((await node.get('settings/flags')) as FlagsOver));
        return;
      }
      const { readJson, keepSettings } = await offline();
      const settings = readJson(file);
      const isRunning = await node.isRunning();
      if (isRunning) await node.put('settings', settings);
      else keepSettings(folder, settings);
      print('The settings are kept');
      if (isRunning) note(...flagLines((await node.get('settings/flags')) as FlagsOver));
    });
}

/** Which of the settings do not hold while the node runs as it was started. */
function flagLines(flags: FlagsOver): string[] {
  const given = Object.entries(flags).map(([flag, value]) => `--${flag} ${value}`);
  return given.length === 0
    ? []
    : [
        `The running node was started with ${given.join(' ')}: for its outputs that stands over these settings until it is started without`,
      ];
}
