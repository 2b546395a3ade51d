import type { Frame } from '../core/frame.ts';
import { behindMaster, levelFor, lightAt } from '../light/lightness.ts';
import type { Rig } from '../rig/rig.ts';
import { amountsOf } from './amounts.ts';
import { force, type Grouped, type Guard, type Instant, noMemory } from './guard.ts';

/**
 * Scales every amount of light by the master of all and by the masters of the groups that the fixture is in, emitters that are driven
 * directly among them: by the light that is left at the level of a master, so that lamps keep their balance. A lamp that has no amount, a
 * shutter or a strobe only, is closed by a master at 0. Haze is no light: a master lets it run, from a look or by hand, which is a deliberate
 * act; blackout stops it.
 */
export function masters(show: Pick<Grouped, 'groups'>, rig: Rig): Guard<undefined> {
  const all = masteredOf(show, rig);
  return {
    name: 'masters',
    memory: noMemory,
    step(frame, instant): boolean {
      let acted = false;
      for (const { groups, amounts } of all) {
        const share = shareOf(groups, instant);
        if (share === 1) continue;
        for (const { cell, shades, isLevel } of amounts) {
          const value = frame[cell] as number;
          // An emitter that follows the colour is below 0.
          if (value > 0 && (shades || share <= 0) && force(frame, cell, isLevel ? behindMaster(value, share) : value * share))
            acted = true;
        }
      }
      return acted;
    },
  };
}

/**
 * Takes the masters back out of a frame that has passed them, in place: so much light as there was before. What a master at 0 has closed cannot be
 * known any more, and stays dark. @returns the fixtures of which that is so, by id
 */
export function withoutMasters(
  show: Pick<Grouped, 'groups'>,
  rig: Rig,
  frame: Frame,
  levels: Pick<Instant, 'all' | 'group'>,
): string[] {
  const closed: string[] = [];
  for (const { groups, amounts, fixtures } of masteredOf(show, rig)) {
    const share = shareOf(groups, levels);
    if (share <= 0) closed.push(...fixtures);
    if (share <= 0 || share === 1) continue;
    for (const { cell, shades, isLevel } of amounts) {
      const value = frame[cell] as number;
      if (value > 0 && shades) force(frame, cell, Math.min(1, isLevel ? levelFor(lightAt(value) / share) : value / share));
    }
  }
  return closed;
}

/** Fixtures that are in the same groups: one share holds for all of them. */
interface Mastered {
  readonly groups: readonly string[];
  readonly fixtures: string[];
  readonly amounts: ReturnType<typeof amountsOf>;
}

function masteredOf(show: Pick<Grouped, 'groups'>, rig: Rig): Mastered[] {
  const sets = new Map<string, Mastered>();
  for (const fixture of rig.fixtures) {
    const groups = show.groups.filter(({ fixtures }) => fixtures.includes(fixture.id)).map(({ id }) => id);
    const key = JSON.stringify(groups);
    const set = sets.get(key) ?? { groups, fixtures: [], amounts: [] };
    sets.set(key, set);
    set.fixtures.push(fixture.id);
    set.amounts.push(...amountsOf(fixture));
  }
  return [...sets.values()];
}

function shareOf(groups: readonly string[], levels: Pick<Instant, 'all' | 'group'>): number {
  let share = lightAt(levels.all);
  for (const group of groups) share *= lightAt(levels.group(group));
  return share;
}
