/** Of a document that no schema has looked at yet: what a step from one version to the next changes in it. */
export type Json = Readonly<Record<string, unknown>>;

/** Where it is none, it is left for the schema to refuse. */
export const isObject = (value: unknown): value is Json => typeof value === 'object' && value !== null && !Array.isArray(value);
export const each = (list: unknown, change: (one: Json) => unknown): unknown =>
  Array.isArray(list) ? list.map((one) => (isObject(one) ? change(one) : one)) : list;
export const changed = (of: Json, field: string, change: (value: unknown) => unknown): Json =>
  of[field] === undefined ? {} : { [field]: change(of[field]) };
