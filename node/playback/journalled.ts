import { z } from 'zod';
import { levelFor } from '../light/lightness.ts';
import { itemKinds } from '../show/document.ts';
import type { Fade, PlayState } from './state.ts';

/** What the journal may hold. What is new gets a default here, so that a state of before goes on; what is no finite number is none. */
const number = z.number();
const level = z.number().min(0).max(1);
const item = z.templateLiteral([z.enum(itemKinds), ':', z.string()]);
const fade = z.object({ from: level, to: level, at: number, duration: number.min(0) });

/** A state of the time when an entry had but the length of its fade. */
const risen = (entry: unknown): unknown => {
  if (typeof entry !== 'object' || entry === null || 'rise' in entry) return entry;
  const { startedAt, fadeIn } = entry as { startedAt?: unknown; fadeIn?: unknown };
  return { ...entry, rise: { from: 0, to: 1, at: startedAt, duration: fadeIn } };
};

const entry = z.preprocess(
  risen,
  z.object({
    id: z.int(),
    item,
    button: z.string().optional(),
    startedAt: number,
    startBeat: number,
    rise: fade,
    release: z.object({ at: number, fade: number.min(0), from: level }).optional(),
    isFallback: z.literal(true).optional(),
    isTried: z.literal(true).optional(),
    away: fade.optional(),
    calmed: z.object({ at: number, beat: number }).optional(),
    choices: z.record(z.string(), number).optional(),
  }),
);

const playState = z.object({
  number: z.int().min(0).default(0),
  entries: z.array(entry).max(200),
  nextId: z.int(),
  all: fade,
  groups: z.record(z.string(), fade),
  blackout: z.boolean(),
  tempo: z.object({ bpm: number.positive(), at: number, beat: number, ahead: number }),
  alone: z.boolean().default(false),
  left: z.object({ until: number }).optional(),
  hazeAllowed: z.object({ at: number }).optional(),
  crew: z.object({ at: number }).optional(),
  evening: z
    .object({
      moment: z.string().optional(),
      late: number.optional(),
      order: z.array(z.string()).optional(),
      until: number.optional(),
    })
    .optional()
    .catch(undefined),
  undo: z
    .object({
      number: z.int(),
      at: number,
      before: z.array(entry),
      firstId: z.int(),
      letGo: z.array(z.int()),
      moment: z.string().nullable().optional(),
    })
    .optional()
    .catch(undefined),
});

/** By which a state says that its masters are lightness; without it they are of the time when they were shares of light. */
const LEVELS = 'lightness';

/** A state as the journal holds it. */
export const stateText = (state: PlayState): string => JSON.stringify({ levels: LEVELS, ...state });

/** A state out of the journal; undefined where it is none, or has a number that is none. What it does not know is left out. */
export function readState(json: unknown): PlayState | undefined {
  const state = playState.safeParse(json).data as PlayState | undefined;
  if (state === undefined || (json as { levels?: unknown }).levels === LEVELS) return state;
  const groups = Object.entries(state.groups).map(([id, one]) => [id, asLightness(one)] as const);
  return { ...state, all: asLightness(state.all), groups: Object.fromEntries(groups) };
}

const asLightness = (of: Fade): Fade => ({ ...of, from: levelFor(of.from), to: levelFor(of.to) });
