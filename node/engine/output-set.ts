import type { Levels } from '../core/levels.ts';
import { type OutputSettings, universesOf } from '../core/output-settings.ts';
import type { Link, Output } from '../core/ports.ts';
import type { Millis, Universe } from '../core/units.ts';
import type { EngineReport } from './messages.ts';

/** All ways out of the node, as its settings want them. */
export class OutputSet {
  readonly #build: (settings: OutputSettings) => Output;
  #outputs: readonly Output[] = [];
  #settings: readonly OutputSettings[] = [];
  #links: readonly Link[] = [];
  #universes: readonly Universe[] = [];

  constructor(build: (settings: OutputSettings) => Output) {
    this.#build = build;
  }

  /** The links as they are now. */
  relink(links: readonly Link[], now: Millis): void {
    this.#links = links;
    for (const output of this.#outputs) output.relink(links, now);
  }

  /**
   * Outputs whose settings are the same stay as they are, those of the same id and protocol go on under other settings, both with their
   * sequence numbers; the others say goodbye.
   */
  set(settings: readonly OutputSettings[], now: Millis): void {
    const before = this.#settings.map((one, i) => ({ one, output: this.#outputs[i] as Output }));
    const known = (of: OutputSettings) => before.find(({ one }) => one.id === of.id && one.protocol === of.protocol);
    const kept = new Set(settings.map((of) => known(of)?.output));
    for (const { output } of before) if (!kept.has(output)) output.stop(now);
    this.#outputs = settings.map((of) => {
      const { one, output } = known(of) ?? {};
      if (output === undefined) return this.#begin(of, now);
      if (JSON.stringify(one) !== JSON.stringify(of)) output.settle(of, now);
      return output;
    });
    this.#settings = settings;
    this.carry(this.#universes, now);
  }

  /** Universes of the show that plays, ascending. */
  carry(universes: readonly Universe[], now: Millis): void {
    this.#universes = universes;
    for (const [i, settings] of this.#settings.entries()) this.#outputs[i]?.carry(universesOf(settings, universes), now);
  }

  /** Everybody is told again with the next frame. */
  repeat(): void {
    for (const output of this.#outputs) output.repeat();
  }

  /** @returns how many data packets went out. */
  flush(levels: Levels, now: Millis): number {
    let sent = 0;
    for (let i = 0; i < this.#outputs.length; i++) sent += (this.#outputs[i] as Output).flush(levels, now);
    return sent;
  }

  /** Between frames. @returns how many data packets went out. */
  tend(now: Millis): number {
    let sent = 0;
    for (let i = 0; i < this.#outputs.length; i++) sent += (this.#outputs[i] as Output).tend(now);
    return sent;
  }

  /** When one of them must be tended to at the latest. */
  get dueAt(): Millis {
    let earliest = Number.POSITIVE_INFINITY;
    for (let i = 0; i < this.#outputs.length; i++) earliest = Math.min(earliest, (this.#outputs[i] as Output).dueAt);
    return earliest;
  }

  /** How they fare, and which universes of the show none of them carries. */
  report(now: Millis): Pick<EngineReport, 'outputs' | 'unsent'> {
    const outputs = this.#outputs.map((output) => output.report(now));
    const carried = new Set(
      outputs.flatMap(({ universes }) => universes.filter(({ isLeft }) => !isLeft).map(({ universe }) => universe)),
    );
    return { outputs, unsent: this.#universes.filter((universe) => !carried.has(universe)) };
  }

  stop(now: Millis): void {
    for (const output of this.#outputs) output.stop(now);
    this.#outputs = [];
    this.#settings = [];
  }

  #begin(settings: OutputSettings, now: Millis): Output {
    const output = this.#build(settings);
    output.relink(this.#links, now);
    return output;
  }
}
