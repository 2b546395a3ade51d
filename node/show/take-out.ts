import { type AskedChange, difference, isSame, type Thing } from './change.ts';
import { type Aim, type ItemKind, type ItemRef, itemKinds, type Part, type Show, type Who } from './document.ts';
import { type Kind, type ListKind, listKinds, listOf, topOf } from './things.ts';

export interface Gone {
  readonly kind: ListKind;
  readonly id: string;
}

/** What speaks of a thing that is to go. */
export interface Mention {
  readonly kind: Kind;
  readonly id: string;
  readonly name: string;
  /** It does without; or nothing is left of it to do, and it stays as a draft that says so; or it goes too. */
  readonly what: 'without' | 'emptied' | 'goes';
  /** Those of its fields that speak of what is gone. */
  readonly fields: readonly string[];
}

/** Things taken out with every mention of them: one edit, that is taken back as one. */
export interface TakingOut {
  readonly changes: readonly AskedChange[];
  /** What else is changed by it, in the order of the show; empty: nothing else speaks of them. */
  readonly mentions: readonly Mention[];
}

/** Things as they are once nothing speaks of what is gone. */
interface Left {
  readonly kind: Kind;
  readonly before: Thing;
  readonly after: Thing;
}

/**
 * Takes things out of a show, and out of whatever speaks of them. A button that is left with nothing to start goes too; what else is left with
 * nothing to do stays, as a draft that says so, and a step of a chase without lights goes. With the last light of a use nothing speaks of that use any
 * more, for it could not be played.
 */
export function takingOut(show: Show, asked: readonly Gone[]): TakingOut {
  const buttons = leftOf(show, asked).filter(({ kind, before, after }) => kind === 'button' && isEmptied(kind, before, after));
  const more = buttons.map(({ before: { id } }): Gone => ({ kind: 'button', id }));
  // Moments speak of the buttons that go too.
  const left = leftOf(show, [...asked, ...more]);
  const mentions = [...buttons, ...left].map(({ kind, before, after }): Mention => {
    const emptied = isEmptied(kind, before, after);
    return {
      ...{ kind, id: before.id },
      name: typeof before.name === 'string' ? before.name : before.id,
      what: emptied ? (kind === 'button' ? 'goes' : 'emptied') : 'without',
      fields: Object.keys(after).filter((field) => !isSame(before[field], after[field])),
    };
  });
  const drops = [...asked, ...more].flatMap(({ kind, id }): AskedChange[] => {
    const was = (listOf(show, kind) as readonly Thing[]).find((one) => one.id === id);
    return was === undefined ? [] : [{ do: 'drop', kind, id, was }];
  });
  const sets = left.flatMap(({ kind, before, after }) => difference(kind, before.id, before, after));
  // What was asked for comes first: the history tells changes in their order.
  return { changes: [...drops, ...(sets as AskedChange[])], mentions };
}

/** The field that is what a thing does. */
const heart: Readonly<Partial<Record<Kind, string>>> = {
  group: 'fixtures',
  look: 'parts',
  hit: 'parts',
  chase: 'steps',
  movement: 'who',
  button: 'starts',
};

const isEmptied = (kind: Kind, before: Thing, after: Thing): boolean => isEmpty(kind, after) && !isEmpty(kind, before);

function isEmpty(kind: Kind, thing: Thing): boolean {
  const field = heart[kind];
  return field !== undefined && (thing[field] as readonly unknown[]).length === 0;
}

function leftOf(show: Show, gone: readonly Gone[]): Left[] {
  const without = new Without(show, gone);
  const speaking = listKinds.filter(
    (kind) => kind !== 'fixture' && kind !== 'fixtureType' && kind !== 'themeColour' && kind !== 'landmark',
  );
  const all = speaking.flatMap((kind) => (listOf(show, kind) as readonly Thing[]).map((before) => ({ kind, before })));
  return [...all, { kind: 'show' as const, before: topOf(show) as Thing }].flatMap(({ kind, before }) => {
    if (without.isGone(kind, before.id)) return [];
    const after = without.in(kind, before);
    return isSame(before, after) ? [] : [{ kind, before, after }];
  });
}

function withAim<One extends object>(of: One, aim: Aim | undefined): One {
  const { aim: _, ...rest } = of as One & { readonly aim?: Aim };
  return (aim === undefined ? rest : { ...rest, aim }) as One;
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
        return withAim({ ...thing, who: this.#who(thing.who as readonly Who[]) }, this.#aim(thing.aim as Aim | undefined));
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

  #ids(kind: ListKind, ids: unknown): readonly string[] {
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
      return who.length === 0 && part.who.length > 0 ? [] : [this.#aimed({ ...part, who })];
    });
  }

  /** What was meant to rest at a place is not meant to rest anywhere else. */
  #aimed(part: Part): Part {
    const aim = this.#aim(part.aim);
    if (aim === part.aim) return part;
    const { focus: _, ...rest } = part;
    return withAim(rest, aim);
  }

  /** An aim at a place that goes falls back to its angles, and to what plays below where it has none. */
  #aim(aim: Aim | undefined): Aim | undefined {
    return aim !== undefined && 'landmark' in aim && this.isGone('landmark', aim.landmark) ? aim.angles : aim;
  }

  #steps(all: unknown): readonly Show['chases'][number]['steps'][number][] {
    return (all as Show['chases'][number]['steps']).flatMap((step) => {
      const parts = [...this.#parts(step.parts)];
      return parts.length === 0 && step.parts.length > 0 ? [] : [{ ...step, parts }];
    });
  }
}
