import type { Chase, Part, Show } from '../../../../node/show/document.ts';
import { countedIn, lengthOf } from '../amounts.ts';
import { abilitiesOf } from '../parts/abilities.ts';
import { mirroredWho } from '../parts/lights.ts';

export type Step = Chase['steps'][number];
type Rig = Pick<Show, 'fixtures' | 'groups' | 'fixtureTypes'>;

export const isInBeats = (steps: readonly Step[]): boolean => steps.every(({ length }) => 'beats' in length);

/** A step that is made beside another one is as long as it; the first of all lasts a beat. */
export function newStep(beside: Step | undefined, parts: readonly Part[]): Step {
  return { length: beside?.length ?? { beats: 1 }, fade: beside?.fade ?? 0, parts: [...parts] };
}

export const withStep = (steps: readonly Step[], at: number, what: Partial<Step>): Step[] =>
  steps.map((step, i) => (i === at ? { ...step, ...what } : step));

/** One step more, right behind another. */
export const addedBehind = (steps: readonly Step[], at: number, step: Step): Step[] => [
  ...steps.slice(0, at + 1),
  step,
  ...steps.slice(at + 1),
];

/** A step that changes places with the one before it, or behind it; at an end it stays. */
export function moved(steps: readonly Step[], at: number, by: -1 | 1): Step[] {
  const [own, other] = [steps[at], steps[at + by]];
  return own === undefined || other === undefined
    ? [...steps]
    : steps.map((step, i) => (i === at ? other : i === at + by ? own : step));
}

export const reversed = (steps: readonly Step[]): Step[] => [...steps].reverse();

/** All steps counted in beats, or all in seconds, by the tempo: what was as long stays as long. */
export const allCountedIn = (steps: readonly Step[], inBeats: boolean, bpm: number): Step[] =>
  steps.map((step) => ({ ...step, length: countedIn(step.length, inBeats, bpm) }));

/** All parts seen in a mirror in the middle of the room: lights change places with those opposite, several colours run the other way. */
export const mirrored = (steps: readonly Step[], rig: Rig): Step[] =>
  steps.map((step) => ({ ...step, parts: step.parts.map((part) => mirroredPart(part, rig)) }));

function mirroredPart(part: Part, rig: Rig): Part {
  const who = mirroredWho(part.who, rig);
  if (!Array.isArray(part.colour)) return { ...part, who };
  const { colour } = part;
  const { lamps } = abilitiesOf(part.who, rig);
  // Lamp i of n wore colour i of the k in turn; its place is now that of lamp n - 1 - i.
  const from = (at: number): number => (((lamps - 1 - at) % colour.length) + colour.length) % colour.length;
  return { ...part, who, colour: colour.map((_, at) => colour[from(at)] as string) };
}

/** Pixels for one beat or second: the shortest step is as wide as a thumb, and all of them as wide as the page where that leaves them so. */
export function scaleOf(steps: readonly Step[], width: number, thumb: number): number {
  const lengths = steps.map(({ length }) => lengthOf(length));
  const whole = lengths.reduce((sum, length) => sum + length, 0);
  return whole === 0 ? 0 : Math.max(thumb / Math.min(...lengths), width / whole);
}
