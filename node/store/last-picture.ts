import { existsSync, readFileSync, renameSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { z } from 'zod';
import { outputSettings, universeNumber } from '../core/output-settings.ts';

const FILE = 'last-picture.json';

/** What the lights showed last, as with nobody there, so that a node whose shows cannot be read any more can at least repeat it. */
const lastPicture = z.strictObject({
  version: z.literal(1),
  outputs: z.array(outputSettings),
  /** The rig was blacked out: the picture is what comes back when that ends. */
  blackout: z.boolean().default(false),
  /** Slots 1 to 512 in base64. */
  universes: z.array(z.strictObject({ universe: universeNumber, slots: z.base64() })).min(1),
});
export type LastPicture = z.infer<typeof lastPicture>;

export function keepPicture(folder: string, picture: LastPicture): void {
  const file = join(folder, FILE);
  // Whole or not at all: a power cut leaves the picture before.
  writeFileSync(`${file}.coming`, JSON.stringify(picture), { mode: 0o600 });
  renameSync(`${file}.coming`, file);
}

/** Whether there is one, or what is left of one. */
export const hasPicture = (folder: string): boolean => [FILE, `${FILE}.coming`].some((name) => existsSync(join(folder, name)));

/** Undefined where there is none that can be read. */
export function lastPictureIn(folder: string): LastPicture | undefined {
  try {
    return lastPicture.safeParse(JSON.parse(readFileSync(join(folder, FILE), 'utf8'))).data;
  } catch {
    return undefined;
  }
}
