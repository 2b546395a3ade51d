import { InputError } from '../core/errors.ts';

/** A document as it stands in a file. */
export type Document = Readonly<Record<string, unknown>>;

/** A document of the newest version, and what it once held that belongs elsewhere now. */
export interface Brought {
  readonly document: Document;
  /** Version 1 had the node's outputs. */
  readonly outputs?: unknown;
}

interface Step {
  readonly to: number;
  /** From the version before. What is not as it should be is left for the schema to refuse. */
  readonly up: (document: Document) => Brought;
}

/** One step a version, from each to the next. A step that has been released does not change any more. */
export const steps: readonly Step[] = [{ to: 2, up: outputsApart }];

/**
 * Brings a document to the newest version.
 * @throws InputError when a step fails; the document stays as it is.
 */
export function bringUp(old: Document): Brought {
  let brought: Brought = { document: old };
  for (const { to, up } of steps) {
    if (brought.document.version !== to - 1) continue;
    try {
      const next = up(brought.document);
      brought = { ...brought, ...next, document: { ...next.document, version: to } };
    } catch (error) {
      const message = error instanceof Error ? error.message : String(error);
      throw new InputError(`This show cannot be brought from document version ${to - 1} to ${to}; it is left as it is`, [
        { path: '', message },
      ]);
    }
  }
  return brought;
}

/** Outputs belong to the node. */
function outputsApart({ outputs, ...document }: Document): Brought {
  return outputs === undefined ? { document } : { document, outputs };
}
