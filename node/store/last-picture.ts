import { createHash } from 'node:crypto';
import { closeSync, existsSync, fsyncSync, openSync, readFileSync, renameSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { z } from 'zod';
import { outputSettings, universeNumber } from '../core/output-settings.ts';
import { readState, stateText } from '../playback/journalled.ts';
import type { PlayState } from '../playback/state.ts';

const FILE = 'last-picture.json';
/** The same again, as of the last command, in another place of the card. */
const AGAIN = 'last-picture.again.json';

/** A state as the journal holds it. */
const state = z.unknown().transform((json, context): PlayState => {
  const read = readState(json);
  if (read === undefined) context.addIssue('no state of play');
  return read ?? z.NEVER;
});

/** What was on, as the journal should tell it too. */
const witness = z.strictObject({
  show: z.strictObject({ id: z.string(), name: z.string(), revision: z.int().positive() }),
  /** Number of the newest row that the journal had. */
  row: z.int().positive(),
  /** The instant of the state by the clock that plays, and by the wall. */
  at: z.number(),
  wall: z.number(),
  state,
  /** The show file that the node was started with, by its key; empty: none. */
  startedWith: z.string(),
});
export type Witness = z.infer<typeof witness>;

/**
 * What the lights showed last, as with nobody there, so that a node whose shows cannot be read any more can at least repeat it; and the witness
 * to what was on, against which the store is held at every start: a card can lose the end of what was written without a sign.
 */
const lastPicture = z.strictObject({
  version: z.literal(2),
  /** Absent: only slots are known, as where a picture is repeated whose show was lost. */
  witness: witness.optional().catch(undefined),
  outputs: z.array(outputSettings),
  /** The rig was blacked out: the picture is what comes back when that ends. */
  blackout: z.boolean().default(false),
  /** Slots 1 to 512 in base64. */
  universes: z.array(z.strictObject({ universe: universeNumber, slots: z.base64() })).min(1),
});
export type LastPicture = z.infer<typeof lastPicture>;

export function keepPicture(folder: string, picture: LastPicture): void {
  write(join(folder, FILE), picture);
  // What moves by itself is not worth writing twice.
  if (commanded(pictureIn(join(folder, AGAIN))) !== commanded(picture)) write(join(folder, AGAIN), picture);
}

const commanded = (picture: LastPicture | undefined): string =>
  JSON.stringify(
    picture && [picture.blackout, picture.outputs, picture.witness?.show, picture.witness?.row, picture.witness?.state.number],
  );

function write(file: string, { witness, ...picture }: LastPicture): void {
  const own = witness && { ...witness, state: JSON.parse(stateText(witness.state)) };
  writeWhole(file, JSON.stringify({ ...picture, witness: own }));
}

/** @param text of a JSON object */
function writeWhole(file: string, text: string): void {
  // Whole or not at all: a power cut leaves the picture before.
  const coming = openSync(`${file}.coming`, 'w', 0o600);
  try {
    writeFileSync(coming, JSON.stringify({ sum: sumOf(text), ...JSON.parse(text) }));
    fsyncSync(coming);
  } finally {
    closeSync(coming);
  }
  renameSync(`${file}.coming`, file);
}

/** By which a picture is known to be as it was written: a digit that a card has spoiled makes another witness that reads as well. */
const sumOf = (text: string): string => createHash('sha256').update(text).digest('hex');

/** Whether there is one, or what is left of one. */
export const hasPicture = (folder: string): boolean =>
  [FILE, `${FILE}.coming`, AGAIN].some((name) => existsSync(join(folder, name)));

/** Undefined where there is none that can be read and is as it was written. */
export const lastPictureIn = (folder: string): LastPicture | undefined =>
  pictureIn(join(folder, FILE)) ?? pictureIn(join(folder, AGAIN));

const pictureIn = (file: string): LastPicture | undefined => lastPicture.safeParse(wholeIn(file)).data;

/** What was written as a whole and is as it was; undefined where it is not. */
function wholeIn(file: string): Readonly<Record<string, unknown>> | undefined {
  try {
    const { sum, ...written } = JSON.parse(readFileSync(file, 'utf8'));
    // Without a sum it is of a time when there was none.
    return sum !== undefined && sum !== sumOf(JSON.stringify(written)) ? undefined : written;
  } catch {
    return undefined;
  }
}

/** The show that the witness speaks of, in a file of its own: where the store has lost it, it plays as it was. */
const SHOW = 'last-show.json';

export const keepLastShow = (folder: string, show: LastShow): void => writeWhole(join(folder, SHOW), JSON.stringify(show));

/** A document as it was kept, of a revision. */
export interface LastShow {
  readonly revision: number;
  readonly show: { readonly id: string };
}

/** The document that a witness speaks of; undefined where it is not there or cannot be read. */
export function lastShowIn(folder: string, { show: { id, revision } }: Witness): unknown {
  const { show, revision: of } = (wholeIn(join(folder, SHOW)) ?? {}) as Partial<LastShow>;
  return show?.id === id && of === revision ? show : undefined;
}
