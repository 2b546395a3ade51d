import type { FixtureTypeInput } from '../fixture-type.ts';
import { isDriven, NEEDS_OWN_STOP } from '../laser.ts';
import type { RawChannel } from './channels.ts';
import type { Notes } from './notes.ts';
import { attr, type Element } from './xml.ts';

/** Whether a file is of a laser: by a geometry of that type (GDTF, table 46), by what an attribute is called, or by its own names. */
export function isLaser(fixtureType: Element, hasLaser: boolean, channels: readonly RawChannel[]): boolean {
  const names = ['Name', 'LongName', 'ShortName'].map((one) => attr(fixtureType, one) ?? '');
  return (
    hasLaser ||
    channels.some(({ functions }) => functions.some(({ attribute }) => /laser/i.test(attribute))) ||
    names.some((name) => /laser/i.test(name))
  );
}

/** Says what a laser is, and which modes of it are not driven. */
export function noteLaser(modes: FixtureTypeInput['modes'], geometry: FixtureTypeInput['geometry'], notes: Notes): void {
  notes.add(
    'This is a laser: its use is "laser", and it is no part of any wash. Never into eyes; permits and trained people may be needed',
  );
  for (const mode of modes)
    if (!isDriven({ type: { kind: 'laser', geometry }, mode })) notes.add(`Mode "${mode.name}": ${NEEDS_OWN_STOP}`);
}
