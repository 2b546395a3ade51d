import type { Millis, Universe } from '../../core/units.ts';
import { newDiscoveryPackets, type Source } from './packets.ts';
import { DISCOVERY_INTERVAL } from './tables.ts';

const NOTHING: readonly Uint8Array[] = [];

/**
 * When this source tells which universes it sends (E1.31-2018 sections 4.3 and 12): every ten seconds, and once more inside an
 * interval when the list has changed. An empty list is told once; then there is silence until there is something to tell again.
 */
export class Discovery {
  readonly #source: Source;
  #universes: readonly Universe[] = [];
  #pages = NOTHING;
  #changed = false;
  /** Whether the last set that was told listed anything. */
  #told = false;
  #extraLeft = true;
  #intervalEndsAt: Millis = Number.NEGATIVE_INFINITY;

  constructor(source: Source) {
    this.#source = source;
  }

  /** Data universes and synchronization addresses, ascending, each once. */
  list(universes: readonly Universe[]): void {
    if (universes.length === this.#universes.length && universes.every((universe, i) => universe === this.#universes[i])) return;
    this.#universes = universes;
    this.#pages = newDiscoveryPackets(this.#source, universes);
    this.#changed = true;
  }

  /** The packets to send now, most often none. */
  due(now: Millis): readonly Uint8Array[] {
    const regular = now >= this.#intervalEndsAt;
    if (regular) {
      const onGrid = this.#intervalEndsAt + DISCOVERY_INTERVAL;
      this.#intervalEndsAt = onGrid > now ? onGrid : now + DISCOVERY_INTERVAL;
      this.#extraLeft = true;
    } else if (!this.#changed || !this.#extraLeft) return NOTHING;
    const something = this.#universes.length > 0;
    if (!something && !this.#told) return NOTHING;
    if (!regular) this.#extraLeft = false;
    this.#changed = false;
    this.#told = something;
    return this.#pages;
  }
}
