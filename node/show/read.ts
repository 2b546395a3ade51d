import { z } from 'zod';
import { InputError, type Problem } from '../core/errors.ts';
import { checkReferences } from './check-references.ts';
import { SHOW_VERSION, type Show, showDocument } from './document.ts';

const LONGEST_LIST = 20;

/**
 * Reads a show from JSON text.
 * @throws InputError naming every problem found: where, what stands there, what is allowed.
 */
export function readShow(text: string): Show {
  let json: unknown;
  try {
    json = JSON.parse(text);
  } catch (error) {
    throw new InputError('This is not JSON', [{ path: '', message: error instanceof Error ? error.message : String(error) }]);
  }
  return checkShow(json);
}

/** As {@link readShow}, from a value already taken out of JSON. */
export function checkShow(json: unknown): Show {
  refuseOthers(json);
  const read = showDocument.safeParse(json);
  if (!read.success)
    throw new InputError(
      'The show has mistakes',
      read.error.issues.flatMap((issue) => explain(issue, json)).slice(0, LONGEST_LIST),
    );
  const problems = checkReferences(read.data);
  if (problems.length > 0) throw new InputError('The show has mistakes', problems.slice(0, LONGEST_LIST));
  return read.data;
}

/** The published JSON Schema (draft 2020-12) of the show document, as it may be written: fields with a default may be left out. */
export function showSchema(): object {
  return { title: 'Duskhand show', ...z.toJSONSchema(showDocument, { io: 'input' }) };
}

function refuseOthers(json: unknown): void {
  const head = z.looseObject({ format: z.literal('duskhand-show'), version: z.number() }).safeParse(json);
  if (!head.success) {
    throw new InputError('This is not a Duskhand show', [
      { path: '', message: 'must be an object with "format": "duskhand-show" and a "version"' },
    ]);
  }
  if (head.data.version > SHOW_VERSION) {
    throw new InputError(
      `This show was made by a newer Duskhand (document version ${head.data.version}, this one reads up to ${SHOW_VERSION})`,
      [{ path: 'version', message: 'Update Duskhand on this node to open it; the file is left as it is' }],
    );
  }
}

type Issue = z.core.$ZodIssue;

/** Turns a schema issue into a place, the value that stands there and what is allowed. */
function explain(issue: Issue, json: unknown): Problem[] {
  if (issue.code === 'invalid_union' && issue.errors.length > 0) {
    // The branch that got furthest is the one that the writer meant.
    const deepest = [...issue.errors].sort((a, b) => depth(b) - depth(a) || a.length - b.length)[0] ?? [];
    if (depth(deepest) > 0)
      return deepest.flatMap((inner) => explain({ ...inner, path: [...issue.path, ...inner.path] } as Issue, json));
  }
  if (issue.code === 'unrecognized_keys') {
    return issue.keys.map((key) => ({ path: pathText([...issue.path, key]), message: 'is not a field that is known here' }));
  }
  const found = valueAt(json, issue.path);
  return [
    { path: pathText(issue.path), message: `${lower(issue.message)} (found ${found === undefined ? 'nothing' : short(found)})` },
  ];
}

const depth = (issues: readonly { path: PropertyKey[]; code?: string }[]): number =>
  Math.max(0, ...issues.map(({ path }) => path.length)) - (issues.some(({ code }) => code === 'unrecognized_keys') ? 1 : 0);

const lower = (text: string): string => text.charAt(0).toLowerCase() + text.slice(1);

function short(value: unknown): string {
  const text = JSON.stringify(value);
  return text.length > 60 ? `${text.slice(0, 57)}...` : text;
}

const valueAt = (json: unknown, path: readonly PropertyKey[]): unknown =>
  path.reduce<unknown>(
    (at, key) => (typeof at === 'object' && at !== null ? (at as Record<PropertyKey, unknown>)[key] : undefined),
    json,
  );

/** `looks[2].parts[0].colour` */
export function pathText(path: readonly PropertyKey[]): string {
  return path.reduce<string>(
    (text, key) => (typeof key === 'number' ? `${text}[${key}]` : text === '' ? String(key) : `${text}.${String(key)}`),
    '',
  );
}
