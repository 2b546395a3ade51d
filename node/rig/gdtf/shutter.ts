import type { Stretch } from '../channel-law.ts';
import type { RawFunction } from './channels.ts';
import { float } from './values.ts';
import { attr } from './xml.ts';

const CLOSED = 0;
export const OPEN = 1;

/** One step of a shutter as the file has it. */
interface Step {
  readonly name: string;
  readonly from: number;
  readonly to: number;
  /** A physical value that holds throughout; undefined where there is none. */
  readonly physical: number | undefined;
}

/**
 * Where a shutter is closed and where it is open, by its sets or else its functions: by their physical values, 0 closed and more open,
 * where those tell them apart, otherwise by their words. Empty for a shutter that runs through. What neither says may be a strobe, and is
 * not taken.
 */
export function shutterStretches(functions: readonly RawFunction[]): Stretch[] {
  const steps = functions.flatMap(stepsOf);
  const values = new Set(steps.flatMap(({ physical }) => (physical === undefined ? [] : [physical > 0])));
  return steps.flatMap(({ name, from, to, physical }): Stretch[] => {
    const meant = physical === undefined ? undefined : physical > 0 ? OPEN : CLOSED;
    const called = /clos|blackout|\boff\b|\bshut\b/i.test(name) ? CLOSED : /open|\bon\b/i.test(name) ? OPEN : undefined;
    // Fill-ins are all alike and say nothing.
    const slot = values.size > 1 ? (meant ?? called) : (called ?? meant);
    return slot === undefined ? [] : [{ slot, from, to }];
  });
}

function stepsOf({ element, name, from, to, sets }: RawFunction): Step[] {
  // Tables 60 and 61: what a set leaves out its function says, and otherwise 0 to 1.
  const [low, high] = [float(attr(element, 'PhysicalFrom')), float(attr(element, 'PhysicalTo'))];
  const named = sets.filter((one) => one.name !== undefined || one.physical.some((value) => value !== undefined));
  if (named.length === 0) return [{ name, from, to, physical: steady(low, high) }];
  return named.map((one) => {
    const [a, b] = one.physical;
    const says = a !== undefined || b !== undefined;
    return { ...one, name: one.name ?? '', physical: says ? steady(a ?? low ?? 0, b ?? high ?? 1) : undefined };
  });
}

const steady = (a: number | undefined, b: number | undefined): number | undefined => (a === b ? a : undefined);
