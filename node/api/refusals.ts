import { InputError } from '../core/errors.ts';
import type { Log } from '../core/ports.ts';
import type { Refusal } from './contract.ts';

/** What the system says when the disk does not do as asked, by the beginning of its code (SQLite's result codes, errno), for the person who asked. */
const platform: readonly (readonly [codes: readonly string[], status: number, error: string])[] = [
  [
    ['SQLITE_FULL', 'ENOSPC', 'EDQUOT'],
    507,
    'The disk of the node is full, so nothing was kept. The lights play on. Make room on the disk, then try again.',
  ],
  [
    ['SQLITE_READONLY', 'SQLITE_CANTOPEN', 'SQLITE_PERM', 'EROFS', 'EACCES'],
    503,
    'The disk of the node takes nothing more (it is read-only), so nothing was kept. The lights play on. Look at the card or its rights, then try again.',
  ],
  [
    ['SQLITE_BUSY', 'SQLITE_LOCKED'],
    503,
    'Another program holds the store of the node, so nothing was kept. The lights play on. Try again.',
  ],
  [
    ['SQLITE_IOERR', 'SQLITE_CORRUPT', 'SQLITE_NOTADB', 'EIO'],
    503,
    'The disk of the node fails, so nothing was kept. The lights play on. Change the card after the event.',
  ],
  [['EMFILE', 'ENFILE', 'ENOMEM'], 503, 'The node has too much to do just now. The lights play on. Try again.'],
];

/**
 * What is answered to whoever asked for what could not be done. An input error goes back as it is; of a disk that refuses one sentence
 * says what to do; anything else is a bug, of which the answer gives nothing away. The last two are logged.
 */
export function refusalOf(error: unknown, log: Log): Refusal & { readonly status: number } {
  const { code = '' } = (error ?? {}) as { code?: unknown };
  const named = platform.find(([codes]) => codes.some((one) => String(code).startsWith(one)));
  if (named !== undefined) {
    const [, status, text] = named;
    log.once(text, `${text} (${String(code)})`);
    return { status, error: text };
  }
  if (error instanceof InputError) return { status: 422, error: error.message, problems: error.problems };
  const trace = error instanceof Error ? (error.stack ?? error.message) : String(error);
  log.once('bug', `A request failed: ${trace.split(/\n\s*/).join(' < ')}`);
  return { status: 500, error: 'The node could not do this; its log says why' };
}
