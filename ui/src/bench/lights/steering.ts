import { leastTravel, waysTo } from '../../../../node/plan/aim/ways.ts';
import { rigOf } from '../../../../node/playback/compile.ts';
import { axesOf, headOf } from '../../../../node/rig/head.ts';
import type { Point, Pose } from '../../../../node/rig/pose.ts';
import type { Lamp, RigFixture } from '../../../../node/rig/rig.ts';
import type { Angles, Show } from '../../../../node/show/document.ts';
import type { Range } from '../parts/abilities.ts';
import type { Light } from './making.ts';

/** A light that turns, as the code that aims it has it. */
export interface Steered {
  readonly fixture: RigFixture;
  readonly lamp: Lamp;
}

/** The first of its lamps that turns; undefined: none does, or it is not patched. */
export function headIn(light: Light, fixtureTypes: Show['fixtureTypes']): Steered | undefined {
  try {
    const [fixture] = rigOf({ fixtures: [light], fixtureTypes }).fixtures;
    const lamp = fixture?.lamps.find((one) => axesOf(fixture, one) !== undefined);
    return fixture === undefined || lamp === undefined ? undefined : { fixture, lamp };
  } catch {
    // What it lacks is said on its own sheet.
    return undefined;
  }
}

/** Angles by which it looks at a point, were it where it is said to be: those that it gets to soonest. */
export function anglesTo({ fixture, lamp }: Steered, pose: Pose | undefined, at: Point, from: Angles): Angles | undefined {
  const head = pose && headOf({ ...fixture, pose }, lamp);
  if (head === undefined) return undefined;
  const isPan = head.outer.cell === lamp.cells.get('Pan');
  const stands = isPan ? { outer: from.pan, inner: from.tilt } : { outer: from.tilt, inner: from.pan };
  const { outer, inner } = leastTravel(head, waysTo(head, at).ways, stands);
  return isPan ? { pan: tidy(outer), tilt: tidy(inner) } : { pan: tidy(inner), tilt: tidy(outer) };
}

/** Turned on by so many degrees, and not past what the axes can. */
export function turnedBy(angles: Angles, by: Angles, pan: Range | undefined, tilt: Range | undefined): Angles {
  const within = (value: number, [least, most]: Range = [-540, 540]): number => tidy(Math.min(most, Math.max(least, value)));
  return { pan: within(angles.pan + by.pan, pan), tilt: within(angles.tilt + by.tilt, tilt) };
}

/** To a hundredth of a degree. */
const tidy = (degrees: number): number => Math.round(degrees * 100) / 100 + 0;

/** Metres that nobody sees from the floor, and that still serve. Common practice, no source. */
const GOOD = 0.05;
const USABLE = 0.15;

/** How well marks fit together, by what each is missed by, in metres. */
export function fitInWords(misses: readonly number[]): string {
  const most = Math.max(...misses);
  const told = `It misses none of the ${misses.length} places by more than ${Math.max(1, Math.round(most * 100))} cm.`;
  if (most > USABLE)
    return `${told} They do not fit together: is one of them another place, is the head put up otherwise, or does its pan or tilt run the other way?`;
  const well = most > GOOD ? 'That serves; point it anew at the one that it misses most to do better.' : 'That is good.';
  return misses.length > 3 ? `${told} ${well}` : `${told} ${well} Three places hardly show a mistake: a fourth does.`;
}
