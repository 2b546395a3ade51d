import { Published, type PublishedMemory } from '../core/published.ts';
import type { Steps } from '../core/steps.ts';
import { Pipeline } from '../pipeline/pipeline.ts';
import type { CompiledShow, Item, Playbook } from '../playback/compile.ts';
import { withPicture } from '../playback/picture.ts';
import { layingOut, type Patched } from '../rig/rig.ts';
import type { ItemKey } from '../show/document.ts';

/** Fixtures and items that go into one part: what comes of it in the other thread takes about a millisecond. */
const FIXTURES_A_PART = 100;
const ITEMS_A_PART = 50;

/**
 * A show on its way to the engine, in parts of which each is taken in within a moment. What the engine has already is left out: of an edit
 * of one look that look goes over. One show is on its way at a time.
 */
export type LoadPart =
  /** `memory`: where it is published; absent: its lamps are those of the show before, and it is published there. */
  | { readonly part: 'begin'; readonly number: number; readonly memory?: PublishedMemory }
  | { readonly part: 'fixtures'; readonly fixtures: readonly Patched[] }
  | { readonly part: 'items'; readonly items: readonly (readonly [ItemKey, Item])[] }
  | { readonly part: 'end'; readonly book: Omit<Playbook, 'rig' | 'items'>; readonly order: readonly ItemKey[] };

type Begin = Extract<LoadPart, { part: 'begin' }>;
type End = Extract<LoadPart, { part: 'end' }>;

/** A show in parts. `before`: the one that the engine plays. */
export function* partsOf(
  number: number,
  { show: _document, rig, items, ...book }: CompiledShow,
  memory: PublishedMemory | undefined,
  before: CompiledShow | undefined,
): Generator<LoadPart, void> {
  yield { part: 'begin', number, ...(memory === undefined ? {} : { memory }) };
  const patched = memory === undefined ? [] : rig.fixtures.map(({ lamps: _lamps, ...one }) => one);
  for (let i = 0; i < patched.length; i += FIXTURES_A_PART)
    yield { part: 'fixtures', fixtures: patched.slice(i, i + FIXTURES_A_PART) };
  const changed = [...items].filter(([key, item]) => before?.items.get(key) !== item);
  for (let i = 0; i < changed.length; i += ITEMS_A_PART) yield { part: 'items', items: changed.slice(i, i + ITEMS_A_PART) };
  yield { part: 'end', book, order: [...items.keys()] };
}

/** A show that can be played from the next frame on. */
export interface Ready {
  /** Of the load that it came with. */
  readonly number: number;
  readonly show: Playbook;
  readonly published: Published;
  readonly pipeline: Pipeline;
}

/** The engine's side: takes parts in, and with the last of them gives the steps by which the show is made ready. */
export class Intake {
  #begin: Begin = { part: 'begin', number: 0 };
  #fixtures: Patched[] = [];
  #items = new Map<ItemKey, Item>();
  #types = new Map<string, Patched['type']>();

  take(part: LoadPart, playing: Ready | undefined): Steps<Ready> | undefined {
    switch (part.part) {
      case 'begin':
        this.#begin = part;
        this.#fixtures = [];
        this.#items = new Map();
        this.#types = new Map();
        return undefined;
      case 'fixtures':
        for (const one of part.fixtures) this.#fixtures.push(this.#withKnownType(one));
        return undefined;
      case 'items':
        for (const [key, item] of part.items) this.#items.set(key, item);
        return undefined;
      case 'end':
        return makeReady(this.#begin, this.#fixtures, this.#items, part, playing);
    }
  }

  /** Every part comes with types of its own; what lamps of a type share is worked out once only where they have one and the same. */
  #withKnownType(one: Patched): Patched {
    const type = this.#types.get(one.type.id) ?? one.type;
    this.#types.set(type.id, type);
    return { ...one, type, mode: type.modes.find(({ id }) => id === one.mode.id) ?? one.mode };
  }
}

function* makeReady(
  { number, memory }: Begin,
  fixtures: readonly Patched[],
  changed: ReadonlyMap<ItemKey, Item>,
  { book, order }: End,
  playing: Ready | undefined,
): Steps<Ready> {
  const items = new Map<ItemKey, Item>();
  for (const key of order) {
    const item = changed.get(key) ?? playing?.show.items.get(key);
    if (item !== undefined) items.set(key, item);
  }
  yield;
  const rig = memory === undefined && playing !== undefined ? playing.show.rig : withPicture(yield* layingOut(fixtures), book);
  const published =
    memory === undefined && playing !== undefined ? playing.published : new Published(rig.universes, rig.rest.length, memory);
  const show: Playbook = { ...book, rig, items };
  return { number, show, published, pipeline: yield* Pipeline.making(show, published.levels, playing?.pipeline) };
}
