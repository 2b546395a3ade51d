import { listed } from '../core/words.ts';
import { flashLimit, type PlayState } from '../playback/state.ts';

/** What a guard does, in a sentence, to the lights that it speaks of. */
type Words = Readonly<Record<string, (lights: string, state: PlayState) => string | undefined>>;

/** What guards keep from being seen. Of the others the state tells: blackout, masters, the fallback. */
export const heldWords: Words = {
  duty: (lights) => `${lights} held back: enough has gone into the air in the last ten minutes`,
  uv: (lights) => `${lights} dimmed: UV has been on for long, and eyes do not shield themselves from it`,
  blinders: (lights) => `${lights} dimmed: a blinder may dazzle people for some seconds only`,
  strobes: (lights) => `${lights} held back: a strobe may go on for half a minute only`,
  flash: (_, state) => `Flashes are held back: no more than ${state.left === undefined ? flashLimit(state) : 'one'} a second`,
  dwell: (lights) => `${lights} dimmed: a beam rested where guests may look into it`,
  'dwell-edge': (lights) => `${lights}: the edge of a beam rests where guests may look into it`,
  homing: (lights) => `${lights} dark: they go to where they belong first`,
  motion: (_, { crew, left }) =>
    crew !== undefined
      ? 'Heads stand still while the crew works'
      : left !== undefined
        ? 'Heads turn slowly while the node is left alone'
        : undefined,
};

/** What waits for a person's word. */
export const closedWords: Words = {
  haze: () => 'Haze is held: nobody has said that the venue permits it',
  laser: (lights) => `${lights} closed: lasers are not armed`,
};

/** Lights that are named; of more the number is. */
const MOST_LIGHTS = 3;

/** @param names of the lights that the guard speaks of */
export function sayHeld(words: Words, guard: string, names: readonly string[], state: PlayState): string | undefined {
  const lights = names.length > MOST_LIGHTS ? `${names.length} lights` : listed(names);
  return words[guard]?.(lights, state);
}
