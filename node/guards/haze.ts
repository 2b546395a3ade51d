import { type AttributeName, attribute } from '../core/attributes.ts';
import { cellsOf, type Rig, type RigFixture } from '../rig/rig.ts';
import { force, type Grouped, type Guard, noMemory } from './guard.ts';
import { standsAt } from './stands-at.ts';

/** One job by which a machine puts haze or fog into the air. */
export interface Airing {
  /** By which it is known to the next show: where its machine is patched, and what it does. */
  readonly key: string;
  readonly place: number;
  readonly cell: number;
  /** Thick, in bursts; else a haze that hangs for long. */
  readonly fogs: boolean;
}

/** What is patched for haze and has but a level is a machine on a dimmer. */
const airs = (name: AttributeName, { use }: RigFixture): boolean =>
  attribute(name).hazes === true || (use === 'haze' && name === 'Dimmer');

/** Every job of a rig that puts something into the air. */
export const airingsOf = ({ fixtures }: Rig): Airing[] =>
  fixtures.flatMap((fixture, place) =>
    cellsOf(fixture)
      .filter(([name]) => airs(name, fixture))
      .map(([name, cell], i) => ({
        key: `${standsAt(fixture)}.${name}.${i}`,
        place,
        cell,
        fogs: name === 'Fog1',
      })),
  );

/** Nothing goes into the air before somebody has said for this night that the venue permits it, whoever asks for it. */
export function haze(_show: Grouped, rig: Rig): Guard<undefined> {
  const airings = airingsOf(rig);
  const held = new Set<number>();
  return {
    name: 'haze',
    memory: noMemory,
    step(frame, instant): boolean {
      held.clear();
      if (instant.haze) return false;
      for (const { cell, place } of airings) if (force(frame, cell, 0)) held.add(place);
      return held.size > 0;
    },
    held: () => held,
  };
}
