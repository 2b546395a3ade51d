import type { Show, Who } from '../../../../node/show/document.ts';

type Rig = Pick<Show, 'fixtures' | 'groups'>;
export type Fixture = Show['fixtures'][number];

function isMeant(one: Who, { id, use }: Fixture, { groups }: Rig): boolean {
  if ('all' in one) return true;
  if ('use' in one) return one.use === use;
  if ('fixture' in one) return one.fixture === id;
  return groups.some((group) => group.id === one.group && group.fixtures.includes(id));
}

/** The lights that are meant, each once, in the order of the show. */
export const lightsOf = (who: readonly Who[], rig: Rig): Fixture[] =>
  rig.fixtures.filter((fixture) => who.some((one) => isMeant(one, fixture, rig)));

export const isSame = (a: Who, b: Who): boolean => JSON.stringify(a) === JSON.stringify(b);

/** With one more, or without it where it is there. */
export const toggled = (who: readonly Who[], one: Who): Who[] =>
  who.some((other) => isSame(one, other)) ? who.filter((other) => !isSame(one, other)) : [...who, one];

/** One light more or less. Where it is meant by a use, a group or all, the others of that stay, each by itself. */
export function withLight(who: readonly Who[], id: string, rig: Rig): Who[] {
  const fixture = rig.fixtures.find((one) => one.id === id);
  if (fixture === undefined) return [...who];
  if (!who.some((one) => isMeant(one, fixture, rig))) return [...who, { fixture: id }];
  const left = who.flatMap((one): Who[] =>
    isMeant(one, fixture, rig)
      ? lightsOf([one], rig)
          .filter((other) => other.id !== id)
          .map((other) => ({ fixture: other.id }))
      : [one],
  );
  return left.filter((one, i) => left.findIndex((other) => isSame(one, other)) === i);
}

/** The light that stands opposite: of those for the same use, in the order of the show, the first and the last change places, and so on inwards. */
function oppositeOf(fixture: Fixture, { fixtures }: Rig): Fixture {
  const own = fixtures.filter(({ use }) => use === fixture.use);
  return own[own.length - 1 - own.indexOf(fixture)] ?? fixture;
}

/** The same lights seen in a mirror that stands in the middle of the room. A group becomes the one that stands opposite, where there is one. */
export function mirroredWho(who: readonly Who[], rig: Rig): Who[] {
  const mirrored = who.flatMap((one): Who[] => {
    if ('all' in one || 'use' in one) return [one];
    const lights = lightsOf([one], rig);
    const others = lights.map((light) => oppositeOf(light, rig).id);
    // What leads nowhere stays as it is: it is a fault already.
    if (lights.length === 0) return [one];
    if ('fixture' in one) return others.map((fixture) => ({ fixture }));
    const opposite = rig.groups.find(
      ({ fixtures }) => new Set(fixtures).size === others.length && others.every((id) => fixtures.includes(id)),
    );
    return opposite === undefined ? others.map((fixture) => ({ fixture })) : [{ group: opposite.id }];
  });
  return mirrored.filter((one, i) => mirrored.findIndex((other) => isSame(one, other)) === i);
}
