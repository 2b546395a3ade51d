import { z } from 'zod';
import { plainText } from '../core/text.ts';
import { id } from '../rig/fixture-type.ts';
import type { DemoRow, ShelfRow } from '../show/shelf-row.ts';

/** What is exchanged about the shows of a node: the part of `contract.ts` that the bench's page of shows uses. Operators only. */

const name = plainText.trim().min(1).max(80);

/** `GET /api/bench/shows`. */
export interface ShelfList {
  readonly shows: readonly ShelfRow[];
  /** The show that plays. */
  readonly plays: string;
  /** Those that come with the program, to make one from. */
  readonly demos: readonly DemoRow[];
}

/** `POST /api/bench/shows`: a new show: empty, from one that comes with the program, or like another one. */
export const newShowRequest = z.union([
  z.strictObject({ empty: z.literal(true), name }),
  z.strictObject({ demo: plainText.max(200) }),
  z.strictObject({ like: id, name }),
]);

export type NewShowRequest = z.input<typeof newShowRequest>;

/** `POST /api/bench/shows/:id/name`. */
export const renameRequest = z.strictObject({ was: plainText.max(80), now: name });

/** What a new show is called, and by which id it is found. `note`: what is not as it was in the file. */
export interface NewShow {
  readonly id: string;
  readonly name: string;
  readonly note?: string;
}

/** `GET /api/bench/shows/:id/opening`: in sentences what stops, what starts and what stays if it were opened now. */
export interface Opening {
  readonly name: string;
  readonly stops: string;
  readonly starts: string;
  /** What people have set by hand stays set; absent: nothing is. */
  readonly stays?: string;
  /** Its newest state cannot be played: what plays instead. */
  readonly draft?: string;
}
