import { InputError, problemLine } from '../core/errors.ts';
import type { OutputSettings } from '../core/output-settings.ts';
import type { Universe } from '../core/units.ts';
import { checkSettings } from '../settings/check.ts';
import { type OutputFlags, overrideOutputs } from '../settings/override.ts';
import type { Settings } from '../settings/settings.ts';
import { type SettingsTable, standardSettings } from '../store/settings.ts';

/** The settings of a running node: as they are kept, and as the flags of the command line override them. */
export class NodeSettings {
  readonly #table: SettingsTable;
  readonly #flags: OutputFlags;
  #kept: Settings;
  #outputs: readonly OutputSettings[];

  /**
   * Settings that cannot be used are no reason to stay dark: the standard ones are taken, and it is said.
   * @throws InputError for a flag that makes no sense.
   */
  constructor(table: SettingsTable, flags: OutputFlags, log: (line: string) => void) {
    this.#table = table;
    this.#flags = flags;
    try {
      this.#kept = table.read();
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      const why = error.problems.map(problemLine).join('; ');
      log(`The settings of this node cannot be used (${why}): the standard ones hold until others are set.`);
      this.#kept = standardSettings;
    }
    this.#outputs = overrideOutputs(this.#kept.outputs, flags);
  }

  get kept(): Settings {
    return this.#kept;
  }

  /** Where everything is sent: the flags stand over what is kept. */
  get outputs(): readonly OutputSettings[] {
    return this.#outputs;
  }

  /**
   * Keeps other settings.
   * @param inUse universes of the show that plays
   * @throws InputError with every mistake that they have.
   */
  set(json: unknown, inUse: readonly Universe[]): void {
    const settings = checkSettings(json, inUse);
    this.#table.write(settings);
    this.#take(settings);
  }

  /** As {@link SettingsTable.takeOver}. */
  takeOver(outputs: readonly OutputSettings[] | undefined): string | undefined {
    const note = this.#table.takeOver(outputs, this.#kept);
    if (note !== undefined) this.#take(this.#table.read());
    return note;
  }

  #take(settings: Settings): void {
    this.#kept = settings;
    this.#outputs = overrideOutputs(settings.outputs, this.#flags);
  }
}
