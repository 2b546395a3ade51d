import { InputError } from '../core/errors.ts';
import { type Db, isDamage, openDatabase, UnusableStore } from './database.ts';
import { UnusableFolder } from './folder.ts';
import { mendStore } from './mend.ts';
import { type Answered, type Asked, type StoreGiven, type Work, workOf } from './work.ts';

/**
 * Whoever has the store open and does what is asked of it. A store that cannot be opened or mended now may be later: each thing asked for
 * tries again. One that turns out to be damaged is mended, and what was asked is done on the new one.
 */
export class Keeper {
  readonly #folder: string;
  readonly #say: (line: string) => void;
  #mustMend: boolean;
  /** Once a run: a disk that spoils what was just mended is not helped by doing it again. */
  #wasMended = false;
  #open: { readonly db: Db; readonly work: Work } | undefined;

  constructor({ folder, isDamaged }: StoreGiven, say: (line: string) => void) {
    this.#folder = folder;
    this.#mustMend = isDamaged;
    this.#say = say;
  }

  async answer(asked: Asked): Promise<Answered> {
    const { id } = asked;
    try {
      return { id, result: await this.#doOrMend(asked) };
    } catch (error) {
      return { id, error: plain(error) };
    }
  }

  close(): void {
    this.#open?.db.close();
    this.#open = undefined;
  }

  async #doOrMend(asked: Asked): Promise<unknown> {
    try {
      return await this.#do(asked);
    } catch (error) {
      if (!isDamage(error) || this.#wasMended) throw error;
      this.close();
      this.#mustMend = true;
      return this.#do(asked);
    }
  }

  async #do({ name, args }: Asked): Promise<unknown> {
    return (this.#work()[name] as (...args: unknown[]) => unknown)(...args);
  }

  #work(): Work {
    if (this.#open === undefined) {
      if (this.#mustMend) {
        this.#say(mendStore(this.#folder));
        this.#mustMend = false;
        this.#wasMended = true;
      }
      const db = openDatabase(this.#folder);
      this.#open = { db, work: workOf(db, this.#folder) };
    }
    return this.#open.work;
  }
}

function plain(thrown: unknown): Extract<Answered, { error: object }>['error'] {
  // To whoever asks a running node a store that does not open is the disk's fault and nobody's input.
  const error = thrown instanceof UnusableStore || thrown instanceof UnusableFolder ? thrown.reason : thrown;
  const { message, code } = error as { message?: string; code?: unknown };
  return {
    name: error instanceof InputError ? 'InputError' : 'Error',
    message: message ?? String(error),
    ...(typeof code === 'string' ? { code } : {}),
    ...(error instanceof InputError ? { problems: error.problems } : {}),
  };
}
