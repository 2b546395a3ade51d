import type { OutputSettings } from '../core/output-settings.ts';
import type { Universe } from '../core/units.ts';
import { checkSettings } from '../settings/check.ts';
import { type OutputFlags, overrideOutputs } from '../settings/override.ts';
import type { Settings } from '../settings/settings.ts';
import { takenOver } from '../settings/take-over.ts';
import type { FlagsOver } from './local-contract.ts';

export interface SettingsParts {
  /** As they are kept, and whether anybody ever set any. */
  readonly kept: Settings;
  readonly areSet: boolean;
  readonly flags: OutputFlags;
  /** Time zone of the machine, where nobody has set another one. */
  readonly zone: string;
  /** Keeps others on the disk. */
  readonly keep: (settings: Settings) => Promise<void>;
}

/** The settings of a running node: as they are kept, and as the flags of the command line override them. */
export class NodeSettings {
  readonly #parts: SettingsParts;
  #kept: Settings;
  #areSet: boolean;
  #outputs: readonly OutputSettings[];

  /** @throws InputError for a flag that makes no sense. */
  constructor(parts: SettingsParts) {
    this.#parts = parts;
    this.#kept = parts.kept;
    this.#areSet = parts.areSet;
    this.#outputs = overrideOutputs(parts.kept.outputs, parts.flags);
  }

  get kept(): Settings {
    return this.#kept;
  }

  /** What the command line said, by flag, over what is kept. */
  get flags(): FlagsOver {
    return { ...this.#parts.flags };
  }

  /** In which the times of the evening are meant. */
  get zone(): string {
    return this.#kept.zone ?? this.#parts.zone;
  }

  /** Where everything is sent: the flags stand over what is kept. */
  get outputs(): readonly OutputSettings[] {
    return this.#outputs;
  }

  /**
   * Keeps other settings.
   * @param inUse universes of the show that plays
   * @throws InputError with every mistake that they have, or what the disk says.
   */
  async set(json: unknown, inUse: readonly Universe[]): Promise<void> {
    const settings = checkSettings(json, inUse);
    await this.#parts.keep(settings);
    this.#take(settings);
  }

  /** As {@link takenOver}: what an old show document says of outputs. */
  async takeOver(outputs: readonly OutputSettings[] | undefined): Promise<string | undefined> {
    const { settings, note } = takenOver(outputs, this.#kept, this.#areSet);
    if (settings === undefined) return note;
    // The lights come before the disk.
    this.#take(settings);
    await this.#parts.keep(settings);
    return note;
  }

  #take(settings: Settings): void {
    this.#areSet = true;
    this.#kept = settings;
    this.#outputs = overrideOutputs(settings.outputs, this.#parts.flags);
  }
}
