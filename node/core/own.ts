/** What stands under a key in a record by ids: people may call things `constructor`, and of that name every object has something. */
export const own = <Value>(of: Readonly<Record<string, Value>>, key: string): Value | undefined =>
  Object.hasOwn(of, key) ? of[key] : undefined;
