import type { Change, Thing } from './change.ts';
import { kinds } from './document.ts';
import type { Document } from './versions.ts';

/**
 * A document as it was kept, with edits laid over that were accepted once. It is of the version that they were made in, which need not be the
 * newest one: whoever reads it brings up the whole.
 */
export const replay = (document: Document, edits: readonly (readonly Change[])[]): Document =>
  edits.flat().reduce(withChange, document);

function withChange(document: Document, change: Change): Document {
  if (change.kind === 'show') {
    const { field, now } = change as Extract<Change, { do: 'set' }>;
    return field === 'themeName'
      ? withField(document, 'theme', withField(document.theme, 'name', now))
      : withField(document, field, now);
  }
  const [field = '', inner] = kinds[change.kind].path.split('.');
  const list = inner === undefined ? document[field] : (document[field] as Document | undefined)?.[inner];
  const after = withThing((list ?? []) as readonly Thing[], change);
  return withField(document, field, inner === undefined ? after : withField(document[field], inner, after));
}

function withThing(list: readonly Thing[], change: Change): readonly Thing[] {
  const { id } = change;
  switch (change.do) {
    case 'add':
      return [...list.filter((one) => one.id !== id), change.now];
    case 'drop':
      return list.filter((one) => one.id !== id);
    case 'set':
      if (!list.some((one) => one.id === id))
        throw new Error(`an edit of the history does not fit: there is no ${change.kind} "${id}"`);
      return list.map((one) => (one.id === id ? (withField(one, change.field, change.now) as Thing) : one));
  }
}

/** Nothing for a value: the field is left out. */
function withField(of: unknown, field: string, value: unknown): Document {
  const { [field]: _, ...others } = of as Document;
  return value === undefined ? others : { ...others, [field]: value };
}
