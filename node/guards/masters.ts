import { attribute, isEmitter } from '../core/attributes.ts';
import type { Rig } from '../rig/rig.ts';
import { force, type Grouped, type Guard, noMemory } from './guard.ts';

/**
 * Scales every amount of light by the master of all and by the masters of the groups that the fixture is in, emitters that are driven
 * directly among them. A lamp that has no amount, a shutter or a strobe only, is closed by a master at 0.
 */
export function masters(show: Grouped, rig: Rig): Guard<undefined> {
  const scaled = rig.fixtures.flatMap((fixture) => {
    const groups = show.groups.filter((group) => group.fixtures.includes(fixture.id)).map(({ id }) => id);
    // Where the whole has a dimmer it takes its parts down with it.
    const [whole] = fixture.lamps;
    const lamps = whole.hasDimmer ? [whole] : fixture.lamps;
    const cells = lamps.flatMap(({ cells: own, hasDimmer }) => [...own].map(([name, cell]) => ({ name, cell, hasDimmer })));
    const amounts = cells.filter(({ name }) => attribute(name).intensity || isEmitter(name));
    const closed = amounts.length > 0 ? amounts : cells.filter(({ name }) => name === 'Shutter1' || name === 'Shutter1Strobe');
    // A dimmer channel takes the lamp's UV and emitters down with it, so they are but closed at 0; twice down would be too far.
    return closed.map(({ name, cell, hasDimmer }) => ({
      cell,
      groups,
      shades: amounts.length > 0 && (name === 'Dimmer' || !hasDimmer),
    }));
  });
  return {
    name: 'masters',
    memory: noMemory,
    step(frame, instant): boolean {
      let acted = false;
      for (const { cell, groups, shades } of scaled) {
        let level = instant.all;
        for (const group of groups) level *= instant.group(group);
        const value = frame[cell] as number;
        // An emitter that follows the colour is below 0.
        if (value > 0 && (shades || level <= 0) && force(frame, cell, value * level)) acted = true;
      }
      return acted;
    },
  };
}
