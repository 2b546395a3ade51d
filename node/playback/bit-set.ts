/**
 * A set of small whole numbers (cells of a frame, places in the patch) as plain data, a bit for each, 32 a word. Sets that are held
 * against each other have room for the same numbers.
 */
export type BitSet = Uint32Array;

/** An empty set with room for 0 to `size` - 1. */
export const emptySet = (size: number): BitSet => new Uint32Array((size + 31) >>> 5);

export function setOf(size: number, members: ArrayLike<number>): BitSet {
  const set = emptySet(size);
  for (let i = 0; i < members.length; i++) add(set, members[i] as number);
  return set;
}

export function add(set: BitSet, member: number): void {
  set[member >>> 5] = (set[member >>> 5] as number) | (1 << (member & 31));
}

export function addAll(set: BitSet, members: BitSet): void {
  for (let i = 0; i < members.length; i++) set[i] = (set[i] as number) | (members[i] as number);
}

/** Takes out what is not among these as well. */
export function keepOnly(set: BitSet, members: BitSet): void {
  for (let i = 0; i < set.length; i++) set[i] = (set[i] as number) & (members[i] as number);
}

export const isEmpty = (set: BitSet): boolean => set.every((word) => word === 0);

/** Whether all of `part` is in `whole`. */
export const isSubset = (part: BitSet, whole: BitSet): boolean => part.every((word, i) => (word & ~(whole[i] as number)) === 0);

export const overlaps = (one: BitSet, other: BitSet): boolean => one.some((word, i) => (word & (other[i] as number)) !== 0);

/** Members in ascending order. */
export function membersOf(set: BitSet): Uint32Array {
  const members = new Uint32Array(set.reduce((count, word) => count + bitsIn(word), 0));
  let place = 0;
  for (let i = 0; i < set.length; i++) {
    for (let word = set[i] as number; word !== 0; word &= word - 1) members[place++] = 32 * i + 31 - Math.clz32(word & -word);
  }
  return members;
}

/** How many bits of a word are set: sums of pairs, of fours, of eights. */
function bitsIn(word: number): number {
  const pairs = word - ((word >>> 1) & 0x55555555);
  const fours = (pairs & 0x33333333) + ((pairs >>> 2) & 0x33333333);
  return Math.imul((fours + (fours >>> 4)) & 0x0f0f0f0f, 0x01010101) >>> 24;
}
