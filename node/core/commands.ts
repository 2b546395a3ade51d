import { z } from 'zod';
import { FASTEST_TEMPO, HIGHEST_FLASHES, LONGEST_LEFT, MOST_FLASHES, MOST_LATE, SLOWEST_TEMPO } from './limits.ts';

const id = z.string().min(1).max(60);
const level = z.number().min(0).max(1);
const fade = z.number().min(0).max(600);

/**
 * Everything that a person may ask of what plays. Remotes, the command line and the journal speak these and no others;
 * `playback/reduce.ts` has a case for each, and does not compile without it.
 */
export const command = z.discriminatedUnion('do', [
  z.strictObject({ do: z.literal('press'), button: id }),
  z.strictObject({ do: z.literal('release'), button: id }),
  /**
   * Lays a look, a chase or a movement over what plays, to see it while it is made: one at a time, until whoever asked for it goes, somebody
   * presses a button, or none is named.
   */
  z.strictObject({
    do: z.literal('try'),
    item: z
      .string()
      .max(80)
      .regex(/^(look|chase|movement):.+$/, { error: 'must be "look:", "chase:" or "movement:" with an id' })
      .optional(),
  }),
  /**
   * A moment of the evening begins: what begins with it starts, what goes with it is let go. `unwatched`, which the engine alone says: nobody is
   * there, so of what begins with it only what may run alone.
   */
  z.strictObject({ do: z.literal('moment'), moment: id, unwatched: z.literal(true).optional() }),
  /** What is still to come tonight comes so many minutes later than planned, or earlier. */
  z.strictObject({ do: z.literal('late'), minutes: z.int().min(-MOST_LATE).max(MOST_LATE) }),
  /** The moments of tonight in another order; without any in that of the show. */
  z.strictObject({ do: z.literal('order'), moments: z.array(id).max(1000) }),
  /** Another night has begun: how the evening stood beside its plan was of the night before. Only the engine says this. */
  z.strictObject({ do: z.literal('new-night') }),
  /** Everything goes, what is marked to stay and what the fallback put there too; `fade` in seconds, absent: softly. */
  z.strictObject({ do: z.literal('all-off'), fade: fade.optional() }),
  /** Calm warm light from every lamp that stands still, and nothing else; a blackout and the master of all give way to it. */
  z.strictObject({ do: z.literal('lights-up') }),
  /** What plays needs no phone for so many minutes; anything that a person asks for ends that, and so does 0. */
  z.strictObject({ do: z.literal('leave'), minutes: z.int().min(0).max(LONGEST_LEFT) }),
  /** The venue has permitted haze for this night, or has not after all. */
  z.strictObject({ do: z.literal('allow-haze'), on: z.boolean() }),
  /** Lasers may shine in this run: a licensed plan for them exists here, says who arms them. */
  z.strictObject({ do: z.literal('arm-lasers'), plan: z.literal(true) }),
  z.strictObject({ do: z.literal('close-lasers') }),
  /** More flashes a second may come in this run than the limit allows: somebody has read what they can do to people, says who raises it. */
  z.strictObject({ do: z.literal('raise-flashes'), most: z.int().gt(MOST_FLASHES).max(HIGHEST_FLASHES), read: z.literal(true) }),
  z.strictObject({ do: z.literal('lower-flashes') }),
  /** People work at the lights, on ladders perhaps: heads stand, nothing strobes, hazes or beams, and there is light to work by. */
  z.strictObject({ do: z.literal('crew'), on: z.boolean() }),
  z.strictObject({ do: z.literal('blackout'), on: z.boolean() }),
  /** Absent group: the master of all. */
  z.strictObject({ do: z.literal('master'), group: id.optional(), level, fade: fade.optional() }),
  /** The next beat falls now. */
  z.strictObject({ do: z.literal('tempo'), bpm: z.number().min(SLOWEST_TEMPO).max(FASTEST_TEMPO) }),
  /** Takes the press of this number back, if it was the last one. */
  z.strictObject({ do: z.literal('undo'), number: z.int().min(1) }),
  /** The last remote is gone: what is attended goes, the show's fallback comes. Only the engine says this. */
  z.strictObject({ do: z.literal('fall-back') }),
  /** Somebody is there again and wants back what the fallback took away. */
  z.strictObject({ do: z.literal('resume') }),
  /** Every hit lets go. The engine says this when whoever held them has fallen silent. */
  z.strictObject({ do: z.literal('let-go') }),
]);

export type Command = z.infer<typeof command>;
