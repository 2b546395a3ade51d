import { z } from 'zod';
import { type Kept, RECOVERED, STANDING } from '../core/kept.ts';
import type { Millis } from '../core/units.ts';
import type { Db } from './database.ts';
import { FactTable } from './facts.ts';

const FACT = 'guards';

/** What guards have counted, when it was so by the wall. */
const memory = z.object({ wall: z.number(), kept: z.record(z.string(), z.record(z.string(), z.number())) });
export type GuardMemory = z.infer<typeof memory>;

export const keepGuardMemory = (db: Db, kept: GuardMemory): void => new FactTable(db).set(FACT, JSON.stringify(kept));

/** What was kept of the run before; undefined where nothing was, or it cannot be read. */
export function guardMemoryIn(db: Db): GuardMemory | undefined {
  try {
    return memory.safeParse(JSON.parse(new FactTable(db).get(FACT) ?? 'null')).data;
  } catch (error) {
    if (error instanceof SyntaxError) return undefined;
    throw error;
  }
}

/**
 * What of it still holds: where heads stand under the crew's hands; nothing else where it is so long ago that everything has had its rest. Where the
 * wall clock went back no time has passed.
 */
export function stillKept(of: GuardMemory | undefined, wall: Millis): Readonly<Record<string, Kept>> | undefined {
  if (of === undefined || wall - of.wall < RECOVERED) return of?.kept;
  const { [STANDING]: standing } = of.kept;
  return standing === undefined ? undefined : { [STANDING]: standing };
}
