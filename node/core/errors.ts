/**
 * Errors say whose fault they are. An `InputError` is the asker's: it names what is wrong, where, and what would be allowed,
 * and is shown as it stands. Platform errors (sockets, disk) never surface as exceptions; they are counted where they arise.
 * Anything else is a bug: the process ends and the service manager starts it again.
 */
export interface Problem {
  /** Where, e.g. `looks[2].parts[0].colour`; empty for the whole document. */
  readonly path: string;
  /** What is wrong and what is allowed, in plain words. */
  readonly message: string;
}

export class InputError extends Error {
  readonly problems: readonly Problem[];
  constructor(summary: string, problems: readonly Problem[] = []) {
    super(summary);
    this.name = 'InputError';
    this.problems = problems;
  }
}

export const problemLine = ({ path, message }: Problem): string => (path === '' ? message : `${path}: ${message}`);
