/** The longest name that a thing may have. */
const LONGEST = 80;

/**
 * Names that count up: “Uplight 1” to “Uplight 12”, going on behind those that are there already; from a number, where one was written.
 * A single one that is the first of its name has no number.
 */
export function countedNames(asked: string, count: number, taken: readonly string[]): string[] {
  const [, base = '', number] = /^(.*?)(?:\s+(\d{1,4}))?$/.exec(asked.trim().slice(0, LONGEST - 5)) ?? [];
  const used = new Set(taken.map((name) => name.toLowerCase()));
  if (count === 1 && number === undefined && !taken.some((name) => isOf(name, base))) return [base];
  const last = Math.max(0, ...taken.flatMap((name) => (isOf(name, base) ? Number(/(\d+)$/.exec(name)?.[1] ?? 0) : [])));
  const first = number === undefined ? last + 1 : Number(number);
  const names: string[] = [];
  for (let n = first; names.length < count; n++) if (!used.has(`${base} ${n}`.toLowerCase())) names.push(`${base} ${n}`);
  return names;
}

const isOf = (name: string, base: string): boolean =>
  name
    .trim()
    .toLowerCase()
    .replace(/\s+\d+$/, '') === base.toLowerCase();
