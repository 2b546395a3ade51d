import { type AskedChange, difference, isSame, type Thing } from './change.ts';
import { type ItemKind, type ItemRef, itemKinds, type Part, type Show, type Who } from './document.ts';
import { type Kind, listKinds, listOf, topOf } from './things.ts';

/** Kinds of things that others speak of by their id. */
export type SpokenOf = 'fixture' | 'group' | 'button' | ItemKind;

export interface Gone {
  readonly kind: SpokenOf;
  readonly id: string;
}

/** What speaks of a thing that is to go. */
export interface Mention {
  readonly kind: Kind;
  readonly id: string;
  readonly name: string;
  /** Nothing is left of it to do, once that is gone. */
  readonly emptied: boolean;
}

/** Things as they are once nothing speaks of what is gone. */
interface Left {
  readonly kind: Kind;
  readonly before: Thing;
  readonly after: Thing;
}

/**
 * The changes that take things out of a show, and out of whatever speaks of them: one edit, so that one step brings all of it back. What is
 * left with nothing to do stays, as a draft that says so; a step of a chase without lights goes. With the last light of a use nothing speaks of
 * that use any more, for it could not be played.
 */
export function takeOut(show: Show, gone: readonly Gone[]): AskedChange[] {
  const drops = gone.flatMap(({ kind, id }): AskedChange[] => {
    const was = (listOf(show, kind) as readonly Thing[]).find((one) => one.id === id);
    return was === undefined ? [] : [{ do: 'drop', kind, id, was }];
  });
  const sets = leftOf(show, gone).flatMap(({ kind, before, after }) => difference(kind, before.id, before, after));
  return [...drops, ...(sets as AskedChange[])];
}

/** Who speaks of things that are to go, by name and in the order of the show; those that go themselves are not told. */
export const mentionsOf = (show: Show, gone: readonly Gone[]): Mention[] =>
  leftOf(show, gone).map(({ kind, before, after }) => ({
    kind,
    id: before.id,
    name: typeof before.name === 'string' ? before.name : before.id,
    emptied: isEmpty(kind, after) && !isEmpty(kind, before),
  }));

/** The field that is what a thing does. */
const heart: Readonly<Partial<Record<Kind, string>>> = {
  group: 'fixtures',
  look: 'parts',
  hit: 'parts',
  chase: 'steps',
  movement: 'who',
  button: 'starts',
};

function isEmpty(kind: Kind, thing: Thing): boolean {
  const field = heart[kind];
  return field !== undefined && (thing[field] as readonly unknown[]).length === 0;
}

function leftOf(show: Show, gone: readonly Gone[]): Left[] {
  const without = new Without(show, gone);
  const speaking = listKinds.filter((kind) => kind !== 'fixture' && kind !== 'fixtureType' && kind !== 'themeColour');
  const all = speaking.flatMap((kind) => (listOf(show, kind) as readonly Thing[]).map((before) => ({ kind, before })));
  return [...all, { kind: 'show' as const, before: topOf(show) as Thing }].flatMap(({ kind, before }) => {
    if (without.isGone(kind, before.id)) return [];
    const after = without.in(kind, before);
    return isSame(before, after) ? [] : [{ kind, before, after }];
  });
}

/** Things of a show without a word about what is gone. */
class Without {
  readonly #gone: ReadonlySet<string>;
  /** Uses that no light is left for, though there was one. */
  readonly #uses: ReadonlySet<string>;

  constructor(show: Show, gone: readonly Gone[]) {
    this.#gone = new Set(gone.map(({ kind, id }) => `${kind} ${id}`));
    const left = new Set(show.fixtures.filter(({ id }) => !this.isGone('fixture', id)).map(({ use }) => use));
    this.#uses = new Set(show.fixtures.map(({ use }) => use).filter((use) => !left.has(use)));
  }

  isGone(kind: string, id: string): boolean {
    return this.#gone.has(`${kind} ${id}`);
  }

  in(kind: Kind, thing: Thing): Thing {
    switch (kind) {
      case 'group':
        return { ...thing, fixtures: this.#ids('fixture', thing.fixtures) };
      case 'look':
      case 'hit':
        return { ...thing, parts: this.#parts(thing.parts) };
      case 'chase':
        return { ...thing, steps: this.#steps(thing.steps) };
      case 'movement':
        return { ...thing, who: this.#who(thing.who as readonly Who[]) };
      case 'button':
        return { ...thing, starts: this.#items(thing.starts), stops: this.#items(thing.stops) };
      case 'moment':
        return {
          ...thing,
          buttons: this.#ids('button', thing.buttons),
          starts: this.#items(thing.starts),
          stops: this.#items(thing.stops),
        };
      case 'show':
        return this.#top(thing);
      default:
        return thing;
    }
  }

  #top(thing: Thing): Thing {
    const { all, groups } = thing.masters as Show['masters'];
    const fallback = thing.fallback as Show['fallback'];
    return {
      ...thing,
      start: this.#items(thing.start),
      masters: { all, groups: Object.fromEntries(Object.entries(groups).filter(([id]) => !this.isGone('group', id))) },
      fallback: fallback !== 'blackout' && this.#isGoneItem(fallback) ? 'blackout' : fallback,
    };
  }

  #ids(kind: SpokenOf, ids: unknown): readonly string[] {
    return (ids as readonly string[]).filter((id) => !this.isGone(kind, id));
  }

  #items(refs: unknown): readonly ItemRef[] {
    return (refs as readonly ItemRef[]).filter((ref) => !this.#isGoneItem(ref));
  }

  #isGoneItem(ref: ItemRef): boolean {
    return itemKinds.some((kind) => {
      const id = (ref as Partial<Record<ItemKind, string>>)[kind];
      return id !== undefined && this.isGone(kind, id);
    });
  }

  #who(all: readonly Who[]): readonly Who[] {
    return all.filter((one) => {
      if ('fixture' in one) return !this.isGone('fixture', one.fixture);
      if ('group' in one) return !this.isGone('group', one.group);
      return !('use' in one && this.#uses.has(one.use));
    });
  }

  /** A part that spoke of nobody before is somebody's unfinished work. */
  #parts(all: unknown): readonly Part[] {
    return (all as readonly Part[]).flatMap((part) => {
      const who = [...this.#who(part.who)];
      return who.length === 0 && part.who.length > 0 ? [] : [{ ...part, who }];
    });
  }

  #steps(all: unknown): readonly Show['chases'][number]['steps'][number][] {
    return (all as Show['chases'][number]['steps']).flatMap((step) => {
      const parts = [...this.#parts(step.parts)];
      return parts.length === 0 && step.parts.length > 0 ? [] : [{ ...step, parts }];
    });
  }
}
