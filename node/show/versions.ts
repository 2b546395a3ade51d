import { attribute, type DirectName, directNames } from '../core/attributes.ts';
import { InputError } from '../core/errors.ts';
import { UNPLAIN, UNPLAIN_LINES } from '../core/text.ts';
import { toVersion4 } from './to-focus.ts';
import { toVersion3 } from './to-lightness.ts';

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
export const steps: readonly Step[] = [
  { to: 2, up: toVersion2 },
  { to: 3, up: (document) => ({ document: toVersion3(document) }) },
  { to: 4, up: (document) => ({ document: toVersion4(document) }) },
];

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

/**
 * Outputs belong to the node. Attributes that are named directly keep within their ranges, and words for buttons and lists, and notes,
 * hold nothing that a terminal would obey: version 1 let both pass.
 */
function toVersion2({ outputs, ...document }: Document): Brought {
  return { document: mended(document, '', DEEPEST) as Document, ...(outputs === undefined ? {} : { outputs }) };
}

/** `chases[0].steps[0].parts[0].attributes` lies seven steps down; a hostile document may be nested deeper than the call stack. */
const DEEPEST = 7;

function mended(value: unknown, key: string, depth: number): unknown {
  if (typeof value === 'string') return plainly(value, key);
  if (typeof value !== 'object' || value === null || depth < 0 || key === 'fixtureTypes') return value;
  if (key === 'attributes') return withinRanges(value);
  if (Array.isArray(value)) return value.map((one) => mended(one, '', depth - 1));
  return Object.fromEntries(Object.entries(value).map(([field, one]) => [field, mended(one, field, depth - 1)]));
}

function plainly(text: string, key: string): string {
  if (key === 'notes') return text.replaceAll(UNPLAIN_LINES, '\ufffd');
  return key === 'name' || key === 'line' ? text.replaceAll(UNPLAIN, '\ufffd') : text;
}

const withinRanges = (values: object): object =>
  Object.fromEntries(
    Object.entries(values).map(([name, value]) => {
      const row = directNames.includes(name as DirectName) ? attribute(name as DirectName) : undefined;
      if (row?.range === undefined || typeof value !== 'number') return [name, value];
      const within = Math.min(row.range[1], Math.max(row.range[0], value));
      return [name, row.unit === 'slot' ? Math.round(within) : within];
    }),
  );
