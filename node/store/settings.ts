import type { OutputSettings } from '../core/output-settings.ts';
import { checkSettings, standardSettings } from '../settings/check.ts';
import type { Settings } from '../settings/settings.ts';
import { takenOver } from '../settings/take-over.ts';
import { type Db, hasDatabase, openDatabase } from './database.ts';
import { lockFolder } from './lock.ts';

const HEAD = { format: 'duskhand-settings', version: 1 } as const;

/** The node's settings. */
export class SettingsTable {
  readonly #db: Db;

  constructor(db: Db) {
    this.#db = db;
  }

  /**
   * What was never set stands at its default.
   * @throws InputError where what is kept cannot be used.
   */
  read(): Settings {
    return checkSettings({ ...HEAD, ...Object.fromEntries(this.#rows().map(({ name, value }) => [name, JSON.parse(value)])) });
  }

  write({ format: _format, ...settings }: Settings): void {
    this.#db.transaction(() => {
      this.#db.prepare('DELETE FROM setting').run();
      const put = this.#db.prepare('INSERT INTO setting (name, value) VALUES (?, ?)');
      for (const [name, value] of Object.entries(settings)) put.run(name, JSON.stringify(value));
    })();
  }

  /** Whether anybody has ever set any. */
  areSet(): boolean {
    return this.#rows().length > 0;
  }

  #rows(): { name: string; value: string }[] {
    return this.#db.prepare('SELECT name, value FROM setting').all() as { name: string; value: string }[];
  }
}

/** The settings in a data folder, which need not be there. */
export const settingsIn = (folder: string): Settings =>
  hasDatabase(folder) ? withSettings(folder, (table) => table.read()) : standardSettings;

/** As {@link takenOver}, in a folder that no node has open. */
export const takeOverIn = (folder: string, outputs: readonly OutputSettings[] | undefined): string | undefined =>
  withSettings(folder, (table) => {
    const { settings, note } = takenOver(outputs, table.read(), table.areSet());
    if (settings !== undefined) table.write(settings);
    return note;
  });

/**
 * Keeps settings in a folder that no node has open.
 * @throws InputError when one has, or with every mistake that they have.
 */
export function keepSettings(folder: string, json: unknown): Settings {
  const settings = checkSettings(json);
  const unlock = lockFolder(folder);
  try {
    withSettings(folder, (table) => table.write(settings));
    return settings;
  } finally {
    unlock();
  }
}

function withSettings<T>(folder: string, use: (table: SettingsTable) => T): T {
  const db = openDatabase(folder);
  try {
    return use(new SettingsTable(db));
  } finally {
    db.close();
  }
}
