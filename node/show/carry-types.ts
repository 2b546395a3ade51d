import type { FixtureType } from '../rig/fixture-type.ts';
import { typesWith } from '../rig/library.ts';
import type { AskedChange } from './change.ts';
import type { Show } from './document.ts';

/** Imported types by their id. */
export type TypeLookup = (id: string) => FixtureType | undefined;

/**
 * A show document with the imported types that its fixtures name and that it does not carry: a show stays whole wherever it goes, and
 * a file that is imported again later does not change it. Whatever is no such document is left as it is for its reader to refuse.
 */
export function carryTypes(json: unknown, find: TypeLookup): unknown {
  const { fixtures, fixtureTypes = [] } = (json ?? {}) as { fixtures?: unknown; fixtureTypes?: unknown };
  if (!Array.isArray(fixtures) || !Array.isArray(fixtureTypes)) return json;
  const known = typesWith(fixtureTypes.filter(hasId));
  const named = new Set(fixtures.map((one: unknown) => (one as { type?: unknown } | null)?.type));
  const wanted = [...named].flatMap((id) => (typeof id !== 'string' || known.has(id) ? [] : (find(id) ?? [])));
  return wanted.length === 0 ? json : { ...(json as object), fixtureTypes: [...fixtureTypes, ...wanted] };
}

const hasId = (one: unknown): one is { id: string } => typeof (one as { id?: unknown } | null)?.id === 'string';

/** Ids of types that an edit gives to fixtures, and that neither the show nor the edit brings along: whoever keeps imported types may have them. */
export function typesWanted({ fixtureTypes }: Pick<Show, 'fixtureTypes'>, changes: readonly AskedChange[]): string[] {
  const known = typesWith(fixtureTypes);
  const brought = new Set(changes.flatMap((change) => (change.do === 'add' && change.kind === 'fixtureType' ? [change.id] : [])));
  const named = changes.map((change) => {
    if (change.kind !== 'fixture') return undefined;
    if (change.do === 'add') return change.now.type;
    return change.do === 'set' && change.field === 'type' ? change.now : undefined;
  });
  const wanted = named.filter((id): id is string => typeof id === 'string' && !known.has(id) && !brought.has(id));
  return [...new Set(wanted)];
}
