/**
 * A set of small whole numbers (cells of a frame, places in the patch) as plain data, a bit for each, 32 a word. Sets that are held
 * against each other have room for the same numbers.
 */
export interface BitSet {
  readonly words: Uint32Array;
}

/** An empty set with room for 0 to `size` - 1. */
export const emptySet = (size: number): BitSet => ({ words: new Uint32Array((size + 31) >>> 5) });

export function setOf(size: number, members: ArrayLike<number>): BitSet {
  const set = emptySet(size);
  addAll(set, members);
  return set;
}

export function add({ words }: BitSet, member: number): void {
  words[member >>> 5] = (words[member >>> 5] as number) | (1 << (member & 31));
}

export function addAll(set: BitSet, members: ArrayLike<number>): void {
  for (let i = 0; i < members.length; i++) add(set, members[i] as number);
}

export const has = ({ words }: BitSet, member: number): boolean => (((words[member >>> 5] as number) >>> (member & 31)) & 1) === 1;

export function takeAll({ words }: BitSet, members: ArrayLike<number>): void {
  for (let i = 0; i < members.length; i++) {
    const member = members[i] as number;
    words[member >>> 5] = (words[member >>> 5] as number) & ~(1 << (member & 31));
  }
}

export const hasAll = (set: BitSet, members: Uint32Array): boolean => members.every((member) => has(set, member));
export const hasAny = (set: BitSet, members: Uint32Array): boolean => members.some((member) => has(set, member));

/** Takes in what is in the other. */
export function unite({ words }: BitSet, other: BitSet): void {
  for (let i = 0; i < words.length; i++) words[i] = (words[i] as number) | (other.words[i] as number);
}

/** Takes out what is not in the other. */
export function intersect({ words }: BitSet, other: BitSet): void {
  for (let i = 0; i < words.length; i++) words[i] = (words[i] as number) & (other.words[i] as number);
}

export const overlaps = ({ words }: BitSet, other: BitSet): boolean =>
  words.some((word, i) => (word & (other.words[i] as number)) !== 0);

/** Members in ascending order. */
export function membersOf({ words }: BitSet): Uint32Array {
  const members = new Uint32Array(words.reduce((count, word) => count + bitsIn(word), 0));
  let place = 0;
  for (let i = 0; i < words.length; i++) {
    for (let word = words[i] as number; word !== 0; word &= word - 1) members[place++] = 32 * i + 31 - Math.clz32(word & -word);
  }
  return members;
}

/** How many bits of a word are set: sums of pairs, of fours, of eights. */
function bitsIn(word: number): number {
  const pairs = word - ((word >>> 1) & 0x55555555);
  const fours = (pairs & 0x33333333) + ((pairs >>> 2) & 0x33333333);
  return Math.imul((fours + (fours >>> 4)) & 0x0f0f0f0f, 0x01010101) >>> 24;
}
