import type { Show, Who } from '../show/document.ts';
import { add, type BitSet, emptySet, unite } from './bit-set.ts';

/** Who is meant, as places in the patch. */
export class Meant {
  readonly #count: number;
  readonly #byId: ReadonlyMap<string, number>;
  readonly #everybody: BitSet;
  readonly #uses = new Map<string, BitSet>();
  readonly #groups: ReadonlyMap<string, readonly string[]>;
  readonly #known = new Map<string, BitSet>();

  constructor({ fixtures, groups }: Pick<Show, 'fixtures' | 'groups'>) {
    this.#count = fixtures.length;
    this.#byId = new Map(fixtures.map(({ id }, place) => [id, place]));
    this.#everybody = emptySet(this.#count);
    for (const [place, { use }] of fixtures.entries()) {
      const ofUse = this.#uses.get(use) ?? emptySet(this.#count);
      this.#uses.set(use, ofUse);
      add(ofUse, place);
      add(this.#everybody, place);
    }
    this.#groups = new Map(groups.map(({ id, fixtures: of }) => [id, of]));
  }

  of(who: readonly Who[]): BitSet {
    const wanted = emptySet(this.#count);
    for (const one of who) {
      if ('fixture' in one) this.#addFixture(wanted, one.fixture);
      else if ('group' in one) unite(wanted, this.#group(one.group));
      else if ('all' in one) unite(wanted, this.#everybody);
      else unite(wanted, this.#uses.get(one.use) ?? emptySet(this.#count));
    }
    return wanted;
  }

  #group(id: string): BitSet {
    const known = this.#known.get(id);
    if (known !== undefined) return known;
    const places = emptySet(this.#count);
    for (const fixture of this.#groups.get(id) ?? []) this.#addFixture(places, fixture);
    this.#known.set(id, places);
    return places;
  }

  #addFixture(to: BitSet, id: string): void {
    const place = this.#byId.get(id);
    if (place !== undefined) add(to, place);
  }
}
