/** Bytes before the two copies: the number of the latest one, and room so that numbers of eight bytes lie where they must. */
const HEADER = 8;

type Numbers = Uint8Array | Float64Array;
interface NumbersClass<T extends Numbers> {
  new (memory: SharedArrayBuffer, offset: number, length: number): T;
  readonly BYTES_PER_ELEMENT: number;
}

/**
 * The latest whole row of so many numbers, in memory that several threads see. One of them publishes; any of them copies it out, never half
 * of one row and half of the next, and never waiting for a writer that is slow: there are two copies, and the one that was published last is
 * not written to until another has been. A reader that was held up for so long tries again.
 */
export class Latest<T extends Numbers> {
  readonly memory: SharedArrayBuffer;
  readonly length: number;
  readonly #count: Int32Array;
  readonly #copies: readonly T[];

  constructor(numbers: NumbersClass<T>, length: number, memory = memoryOf(HEADER + 2 * length * numbers.BYTES_PER_ELEMENT)) {
    this.memory = memory;
    this.length = length;
    this.#count = new Int32Array(memory, 0, 1);
    this.#copies = [0, 1].map((i) => new numbers(memory, HEADER + i * length * numbers.BYTES_PER_ELEMENT, length));
  }

  /** How many were published, modulo 2^32. Before the first there is nothing but zeros. */
  count(): number {
    return Atomics.load(this.#count, 0) >>> 0;
  }

  /** The one thread that writes: makes this the latest. */
  publish(row: T): void {
    const next = Atomics.load(this.#count, 0) + 1;
    this.#copy(next).set(row);
    Atomics.store(this.#count, 0, next);
  }

  /** Fills `into` with what lies from number `from` on in the latest row. */
  copy(into: T, from = 0): void {
    let count: number;
    do {
      count = Atomics.load(this.#count, 0);
      into.set(this.#copy(count).subarray(from, from + into.length));
      // An addition of nothing, unlike a load, is not done before what was read above (acquire and release of ARM's architecture).
    } while (Atomics.add(this.#count, 0, 0) !== count);
  }

  #copy(count: number): T {
    return this.#copies[count & 1] as T;
  }
}

/** A browser gives shared memory only to pages of a kind that ours is not; there one thread has it to itself, and plain memory does the same. */
const memoryOf = (size: number): SharedArrayBuffer =>
  typeof SharedArrayBuffer === 'function' ? new SharedArrayBuffer(size) : (new ArrayBuffer(size) as unknown as SharedArrayBuffer);
