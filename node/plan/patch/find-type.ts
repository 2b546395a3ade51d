/** As much of a kind of lamp as it takes to find it. */
export interface Findable {
  readonly name: string;
  readonly maker?: string | undefined;
  /** What people call its kind, and what it is hung for. */
  readonly words: readonly string[];
  readonly use: string;
  readonly modes: readonly { readonly id: string; readonly name: string; readonly channels: number }[];
}

/** A type that was found, with the modes of it that were meant: all, where nothing was said of them. */
export interface FoundType<T extends Findable> {
  readonly type: T;
  readonly modes: readonly T['modes'][number][];
}

/**
 * Types by what a person calls them: every word is found in the name, the maker, the kind or the use of a lamp, or in the name of a mode; a
 * number is a count of channels, or stands in a name. Best first: those that are called so, then those that are of that kind, then the others.
 */
export function findTypes<T extends Findable>(types: readonly T[], text: string): FoundType<T>[] {
  const asked = wordsIn(text.replace(/(\d+)\s*-?\s*(?:ch|channels?)\b/gi, '$1'));
  return types
    .flatMap((type) => {
      const found = look(type, asked);
      return found === undefined ? [] : [found];
    })
    .sort((a, b) => a.rank - b.rank)
    .map(({ type, modes }) => ({ type, modes }));
}

function look<T extends Findable>(type: T, asked: readonly string[]): (FoundType<T> & { readonly rank: number }) | undefined {
  const name = new Words(type.name);
  const kind = new Words([...type.words, type.maker ?? ''].join(' '));
  const use = new Words(type.use);
  let rank = 0;
  let modes: readonly T['modes'][number][] = type.modes;
  for (const word of asked) {
    const isNumber = /^\d+$/.test(word);
    const byMode = modes.filter((mode) => (isNumber && mode.channels === Number(word)) || new Words(mode.name).has(word));
    if (isNumber && byMode.length > 0) {
      modes = byMode;
      continue;
    }
    if (name.has(word)) continue;
    if (kind.has(word)) rank += 1;
    else if (use.has(word)) rank += 2;
    else if (byMode.length > 0) {
      modes = byMode;
      rank += 1;
    } else return undefined;
  }
  return { type, modes, rank };
}

/** Words of a text, as people may write them: without accents, in the singular, begun or run together. */
class Words {
  readonly #words: readonly string[];
  readonly #together: string;

  constructor(text: string) {
    this.#words = wordsIn(text);
    this.#together = this.#words.join('');
  }

  has(asked: string): boolean {
    if (/^\d+$/.test(asked)) return this.#words.includes(asked);
    return this.#words.some((word) => word.startsWith(asked)) || (asked.length > 4 && this.#together.includes(asked));
  }
}

const wordsIn = (text: string): string[] =>
  text
    .normalize('NFD')
    .replace(/\p{M}/gu, '')
    .toLowerCase()
    .split(/[^\p{L}\p{N}]+/u)
    .filter((word) => word !== '')
    .map((word) => (word.length > 3 && /[^s]s$/.test(word) ? word.slice(0, -1) : word));
