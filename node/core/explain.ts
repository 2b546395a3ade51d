import { z } from 'zod';
import { InputError, type Problem } from './errors.ts';

type Issue = z.core.$ZodIssue;
type Path = readonly PropertyKey[];

const kinds: Readonly<Record<string, string>> = {
  string: 'text',
  number: 'a number',
  int: 'a whole number',
  boolean: 'true or false',
  array: 'a list',
  tuple: 'a list',
  object: 'an object',
  record: 'an object',
};

/** More mistakes than a person mends before the next try. */
export const LONGEST_LIST = 20;

/**
 * Reads a value by a schema.
 * @param summary what to say of it as a whole when it has mistakes
 * @param at where in something larger it stands, to be put in front of the place of every mistake
 * @throws InputError with the first of its mistakes: where, what is allowed, what stands there
 */
export function readAs<Schema extends z.ZodType>(schema: Schema, json: unknown, summary: string, at = ''): z.output<Schema> {
  const first = schema.safeParse(json, atFirst);
  if (first.success) return first.data;
  const all = isLarge(json) ? first : schema.safeParse(json, { error: plainWords });
  const { issues } = all.error ?? first.error;
  const problems = issues.slice(0, LONGEST_LIST).flatMap((issue) => explain(issue, json));
  throw new InputError(
    summary,
    problems.slice(0, LONGEST_LIST).map(({ path, message }) => ({ path: [at, path].filter(Boolean).join('.'), message })),
  );
}

/** Whether a document could have so many mistakes that there is no memory to list them: of such a one the first is told. */
function isLarge(json: unknown): boolean {
  const open: unknown[] = [json];
  for (let seen = 0; open.length > 0; seen++) {
    const one = open.pop();
    if (seen + open.length > LARGE) return true;
    if (typeof one === 'object' && one !== null) for (const inner of Object.values(one)) open.push(inner);
  }
  return false;
}

/** Values in a document, lists and objects among them, that may all be wrong. */
const LARGE = 50_000;

/** What is allowed, in plain words, wherever the schema has none of its own. */
const plainWords: z.core.$ZodErrorMap = (issue) => {
  switch (issue.code) {
    case 'invalid_type':
      return `must be ${kinds[issue.expected] ?? issue.expected}`;
    case 'invalid_value':
      return `must be ${oneOf(issue.values)}`;
    case 'too_small':
      return bound(issue.origin, 'at least', issue.minimum);
    case 'too_big':
      return bound(issue.origin, 'at most', issue.maximum);
    case 'unrecognized_keys':
      return `is not known here; known are ${fieldsOf(issue.inst).join(', ')}`;
    case 'invalid_union':
      return issue.discriminator === undefined ? undefined : `must be ${oneOf((issue.options ?? []) as unknown[])}`;
    default:
      return undefined;
  }
};

/** Stops at the first mistake, as the schema library's own `validate` does. */
const atFirst = { error: plainWords, abortEarly: true };

const counted: Readonly<Record<string, readonly [one: string, more: string]>> = {
  string: ['character', 'characters'],
  array: ['entry', 'entries'],
};

function bound(origin: string, word: string, limit: number | bigint): string {
  const [one, more] = counted[origin] ?? [];
  return one === undefined ? `must be ${word} ${limit}` : `must have ${word} ${limit} ${Number(limit) === 1 ? one : more}`;
}

const oneOf = (values: readonly unknown[]): string =>
  `${values.length > 1 ? 'one of ' : ''}${values.map((value) => JSON.stringify(value)).join(', ')}`;

function fieldsOf(schema: unknown): readonly string[] {
  if (schema instanceof z.ZodObject) return Object.keys(schema.shape);
  return schema instanceof z.ZodRecord && schema.keyType instanceof z.ZodEnum ? schema.keyType.options.map(String) : [];
}

/** Turns a schema issue into a place, what is allowed there and the value that stands there. */
function explain(issue: Issue, json: unknown): Problem[] {
  if (issue.code === 'invalid_union' && issue.errors.length > 0) return explainUnion(issue, json);
  if (issue.code === 'unrecognized_keys') {
    return issue.keys.map((key) => ({ path: pathText([...issue.path, key]), message: issue.message }));
  }
  if (issue.code === 'invalid_key') return issue.issues.map(({ message }) => ({ path: pathText(issue.path), message }));
  return [problem(issue.path, issue.message, json)];
}

/** Speaks of the branch that the writer meant, told by the fields that stand there; of all of them when none can be told. */
function explainUnion(issue: z.core.$ZodIssueInvalidUnion, json: unknown): Problem[] {
  const found = valueAt(json, issue.path);
  const has = (key: PropertyKey | undefined): boolean => key !== undefined && valueAt(found, [key]) !== undefined;
  const ofThisKind = issue.errors.filter((branch) => !branch.some(isOfAnotherKind));
  if (ofThisKind.length === 0) return [problem(issue.path, eitherOf(issue.errors), json)];

  const meant = ofThisKind.filter((branch) => branch.every(({ path }) => path.length === 0 || has(path[0])));
  const [only, another] = meant;
  if (only !== undefined && another === undefined) {
    return only.flatMap((inner) => explain({ ...inner, path: [...issue.path, ...inner.path] } as Issue, json));
  }
  const foreign = (branch: readonly Issue[]) => branch.flatMap((inner) => (inner.code === 'unrecognized_keys' ? inner.keys : []));
  const keys =
    meant.length > 0
      ? meant.flatMap((branch) => Object.keys(found as object).filter((key) => !foreign(branch).includes(key)))
      : ofThisKind.flatMap((branch) => branch.flatMap(({ path }) => (path.length > 0 && !has(path[0]) ? [String(path[0])] : [])));
  return [problem(issue.path, `must have ${meant.length > 0 ? 'only ' : ''}one of ${[...new Set(keys)].join(', ')}`, json)];
}

const isOfAnotherKind = ({ code, path }: Issue): boolean =>
  path.length === 0 && (code === 'invalid_type' || code === 'invalid_value');

/** `must be "blackout" or an object` */
function eitherOf(branches: readonly (readonly Issue[])[]): string {
  const wanted = branches.flatMap((branch) =>
    branch.filter(isOfAnotherKind).map(({ message }) => message.replace(/^must be /, '')),
  );
  return `must be ${[...new Set(wanted)].join(' or ')}`;
}

const problem = (path: Path, message: string, json: unknown): Problem => ({
  path: pathText(path),
  message: `${message} (found ${short(valueAt(json, path))})`,
});

/** Never walks into what it prints: a hostile document may be nested deeper than the call stack. */
function short(value: unknown): string {
  if (value === undefined) return 'nothing';
  if (Array.isArray(value)) return value.length === 0 ? 'an empty list' : `a list of ${value.length}`;
  const text =
    typeof value === 'object' && value !== null
      ? `an object with ${Object.keys(value).join(', ') || 'nothing in it'}`
      : JSON.stringify(value);
  return text.length > 60 ? `${text.slice(0, 57)}...` : text;
}

const valueAt = (json: unknown, path: Path): unknown =>
  path.reduce<unknown>(
    (at, key) =>
      typeof at === 'object' && at !== null && Object.hasOwn(at, key) ? (at as Record<PropertyKey, unknown>)[key] : undefined,
    json,
  );

/** `looks[2].parts[0].colour` */
export function pathText(path: Path): string {
  return path.reduce<string>(
    (text, key) => (typeof key === 'number' ? `${text}[${key}]` : text === '' ? String(key) : `${text}.${String(key)}`),
    '',
  );
}
