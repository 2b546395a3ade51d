/** Longest that an id is made from a name: there is room for a number behind it. */
const LONGEST = 40;

/** An id for a new thing, after its name: none of those that are taken. */
export function newId(name: string, taken: ReadonlySet<string>): string {
  const base =
    name
      .toLowerCase()
      .normalize('NFKD')
      .replace(/\p{M}/gu, '')
      .replace(/[^a-z0-9]+/g, '-')
      .slice(0, LONGEST)
      .replace(/^-+|-+$/g, '') || 'new';
  for (let i = 1; ; i++) {
    const id = i === 1 ? base : `${base}-${i}`;
    if (!taken.has(id)) return id;
  }
}
