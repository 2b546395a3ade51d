import { type Change, difference, type Thing } from './change.ts';
import { kinds, type Show } from './document.ts';
import { byPlace, keyBetween } from './order.ts';
import { type Kind, listOf, type ThingOf, topOf, withList, withTop } from './things.ts';

/** A show while it is worked on: lists by id, and of what has been touched how it was before. */
export class Desk {
  readonly #show: Show;
  readonly #lists = new Map<Kind, Map<string, Thing>>();
  readonly #before = new Map<Kind, Map<string, Thing | undefined>>();

  constructor(show: Show) {
    this.#show = show;
  }

  get(kind: Kind, id: string): Thing | undefined {
    return this.#list(kind).get(id);
  }

  put(kind: Kind, thing: Thing): void {
    this.#note(kind, thing.id);
    this.#list(kind).set(thing.id, thing);
  }

  take(kind: Kind, id: string): void {
    this.#note(kind, id);
    this.#list(kind).delete(id);
  }

  /** An order key behind all of a kind. */
  keyAtEnd(kind: Kind): string {
    return keyBetween([...this.#list(kind).values()].map(orderOf).sort().at(-1), undefined);
  }

  /** An order key right behind another thing, or before all; the moved one's own where it stands there already. */
  keyAfter(kind: Kind, after: string | null, moved: Thing): string {
    const behind = after === null ? undefined : this.get(kind, after);
    const low = behind === undefined ? undefined : orderOf(behind);
    const others = [...this.#list(kind).values()].filter((one) => one.id !== moved.id).map(orderOf);
    const next = others.filter((key) => key > (low ?? '')).sort()[0];
    const own = orderOf(moved);
    return own > (low ?? '') && (next === undefined || own < next) ? own : keyBetween(low, next);
  }

  /** How many things there are now in each list that has been touched, and how many there may be. */
  *sizes(): Generator<{ readonly path: string; readonly most: number; readonly size: number }> {
    for (const kind of this.#before.keys()) if (kind !== 'show') yield { ...kinds[kind], size: this.#list(kind).size };
  }

  /** The show as it is now, and what has changed. */
  done(): { readonly show: Show; readonly changes: readonly Change[] } {
    let show = this.#show;
    const all: Change[] = [];
    for (const [kind, before] of this.#before) {
      const list = this.#list(kind);
      const changes = [...before].flatMap(([id, was]) => {
        const changed = difference(kind, id, was, list.get(id));
        // What was changed and changed back is what it was.
        if (changed.length === 0 && was !== undefined) list.set(id, was);
        return changed;
      });
      if (changes.length > 0)
        show =
          kind === 'show'
            ? withTop(show, this.#top())
            : withList(show, kind, [...list.values()].sort(byPlace) as ThingOf<typeof kind>[]);
      all.push(...changes);
    }
    return { show, changes: all };
  }

  #note(kind: Kind, id: string): void {
    const before = this.#before.get(kind) ?? new Map<string, Thing | undefined>();
    this.#before.set(kind, before);
    if (!before.has(id)) before.set(id, this.get(kind, id));
  }

  #list(kind: Kind): Map<string, Thing> {
    const known = this.#lists.get(kind);
    if (known !== undefined) return known;
    const things: readonly Thing[] = kind === 'show' ? [topOf(this.#show)] : listOf(this.#show, kind);
    const list = new Map(things.map((one) => [one.id, one]));
    this.#lists.set(kind, list);
    return list;
  }

  #top(): ReturnType<typeof topOf> {
    return this.get('show', this.#show.id) as unknown as ReturnType<typeof topOf>;
  }
}

const orderOf = ({ order = '' }: Thing): string => order;
