import { SLOTS } from '../../core/levels.ts';
import type { Universe } from '../../core/units.ts';

/** A lamp that needs an address. */
export interface Wanted {
  readonly id: string;
  /** Lamps of a kind are kept together: a type in a mode. */
  readonly kind: string;
  /** Slots that it takes, 1..512. */
  readonly size: number;
  /** Where it stands already, if that is to be kept. */
  readonly at?: Place | undefined;
}

/** First slot, from 1. */
export interface Place {
  readonly universe: Universe;
  readonly address: number;
}

export interface Plan {
  /** By id. */
  readonly places: ReadonlyMap<string, Place>;
  /** Ids of those whose own place was taken by one before them, or ran off the end; they have got another, if there was one. */
  readonly moved: readonly string[];
  /** Ids of those for which there was no room. */
  readonly left: readonly string[];
}

/**
 * Gives every lamp slots of its own. A kind goes, in the order in which kinds first appear, to others of its kind or else into the first
 * universe that has room for all of it in a row; only where none has is it dealt out over several.
 * @param universes that may be used, in the order in which they are filled
 * @param gap slots left free between kinds, for one more lamp of a kind; given up before a lamp is left out
 */
export function planAddresses(wanted: readonly Wanted[], universes: readonly Universe[], gap: number): Plan {
  const room = new Room();
  const places = new Map<string, Place>();
  const moved: string[] = [];
  const left: string[] = [];
  const put = ({ id, kind, size }: Wanted, at: Place): void => {
    places.set(id, at);
    room.take(at, size, kind);
  };

  for (const one of wanted) {
    if (one.at === undefined) continue;
    if (room.has(one.at, one.size)) put(one, one.at);
    else moved.push(one.id);
  }
  const open = wanted.filter(({ id }) => !places.has(id));
  for (const kind of new Set(open.map((one) => one.kind))) {
    const lamps = open.filter((one) => one.kind === kind);
    const whole = lamps.reduce((sum, { size }) => sum + size, 0);
    const start = room.behind(kind, whole, universes, gap) ?? room.find(kind, whole, universes, gap);
    let address = start?.address ?? 0;
    for (const lamp of lamps) {
      const at =
        start === undefined
          ? (room.find(kind, lamp.size, universes, gap) ?? room.find(kind, lamp.size, universes, 0))
          : { universe: start.universe, address };
      address += lamp.size;
      if (at === undefined) left.push(lamp.id);
      else put(lamp, at);
    }
  }
  return { places, moved, left };
}

/** Which kind has which slot. */
class Room {
  readonly #kinds = new Map<Universe, (string | undefined)[]>();
  readonly #free = new Map<Universe, number>();

  take({ universe, address }: Place, size: number, kind: string): void {
    this.#of(universe).fill(kind, address - 1, address - 1 + size);
    this.#free.set(universe, this.#freeIn(universe) - size);
  }

  has({ universe, address }: Place, size: number): boolean {
    const end = address - 1 + size;
    return (
      end <= SLOTS &&
      this.#of(universe)
        .slice(address - 1, end)
        .every((kind) => kind === undefined)
    );
  }

  /** Right behind the last of its kind, where there is one and room enough, the gap included. */
  behind(kind: string, size: number, universes: readonly Universe[], gap: number): Place | undefined {
    for (const universe of universes) {
      const kinds = this.#kinds.get(universe);
      const start = (kinds?.lastIndexOf(kind) ?? -1) + 1;
      if (kinds === undefined || start === 0 || start + size > SLOTS) continue;
      if (kinds.slice(start, start + size + gap).every((other) => other === undefined)) return { universe, address: start + 1 };
    }
    return undefined;
  }

  /** First run of free slots with `gap` free slots, or its own kind, on either side. */
  find(kind: string, size: number, universes: readonly Universe[], gap: number): Place | undefined {
    for (const universe of universes) {
      if (this.#freeIn(universe) < size) continue;
      const kinds = this.#of(universe);
      // Slots in a row up to here that are free; the place of the last slot that another kind has.
      let free = 0;
      let stranger = -1 - gap;
      for (let i = 0; i < SLOTS; i++) {
        const owner = kinds[i];
        if (owner !== undefined && owner !== kind) stranger = i;
        free = owner === undefined ? free + 1 : 0;
        const start = Math.max(i - free + 1, stranger + gap + 1);
        if (i - start + 1 < size) continue;
        const behind = kinds.slice(start + size, start + size + gap);
        if (behind.every((other) => other === undefined || other === kind)) return { universe, address: start + 1 };
      }
    }
    return undefined;
  }

  #freeIn(universe: Universe): number {
    return this.#free.get(universe) ?? SLOTS;
  }

  #of(universe: Universe): (string | undefined)[] {
    const found = this.#kinds.get(universe) ?? new Array<string | undefined>(SLOTS).fill(undefined);
    this.#kinds.set(universe, found);
    return found;
  }
}
