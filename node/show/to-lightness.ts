import { levelFor } from '../light/lightness.ts';
import { changed, each, isObject, type Json } from './json-parts.ts';

/**
 * Version 3: a level is lightness. In version 2 it was a share of a lamp's channel, and so of its light; on lamps whose type told how it dims
 * the light went with its square. Every level becomes the one that gives the same light as before; masters scaled light, and still do.
 */
export function toVersion3(document: Json): Json {
  const evenOnes = evenLamps(document);
  const parts = (of: unknown): unknown => (Array.isArray(of) ? of.flatMap((one) => partOf(one, evenOnes, document)) : of);
  const withParts = (one: Json): Json => (one.parts === undefined ? one : { ...one, parts: parts(one.parts) });
  return {
    ...document,
    ...changed(document, 'masters', mastersOf),
    ...changed(document, 'fixtures', (of) => each(of, (one) => fixtureOf(one, evenOnes))),
    ...changed(document, 'looks', (of) => each(of, withParts)),
    ...changed(document, 'hits', (of) => each(of, withParts)),
    ...changed(document, 'chases', (of) =>
      each(of, (one) => ({ ...one, ...changed(one, 'steps', (steps) => each(steps, withParts)) })),
    ),
  };
}

const round = (level: number): number => Math.round(level * 1e4) / 1e4;
const isLevel = (value: unknown): value is number => typeof value === 'number' && value >= 0 && value <= 1;
/** Of what was a share of light, and of what light went with the square of. */
const share = (value: unknown): unknown => (isLevel(value) ? round(levelFor(value)) : value);
const even = (value: unknown): unknown => (isLevel(value) ? round(levelFor(value * value)) : value);

const mastersOf = (masters: unknown): unknown =>
  isObject(masters)
    ? {
        ...masters,
        ...changed(masters, 'all', share),
        ...changed(masters, 'groups', (groups) =>
          isObject(groups) ? Object.fromEntries(Object.entries(groups).map(([id, level]) => [id, share(level)])) : groups,
        ),
      }
    : masters;

/** Types of which version 2 knew how they dim: one of the library, and those of the show that say so. */
function evenLamps({ fixtures, fixtureTypes }: Json): ReadonlySet<unknown> {
  const types = new Map<unknown, boolean>([['pixel-tube', true]]);
  each(fixtureTypes, ({ id, dimming }) => types.set(id, dimming !== undefined));
  const lamps = new Set<unknown>();
  each(fixtures, ({ id, type }) => types.get(type) === true && lamps.add(id));
  return lamps;
}

/** How far a lamp is held back was a factor of its level; it is one of its light. */
const fixtureOf = (one: Json, evenOnes: ReadonlySet<unknown>): Json =>
  evenOnes.has(one.id) && typeof one.dim === 'number' ? { ...one, dim: one.dim * one.dim } : one;

/** A part; for those of its lamps that dimmed by the square another one after it, which stands for them. */
function partOf(part: unknown, evenOnes: ReadonlySet<unknown>, document: Json): unknown[] {
  if (!isObject(part)) return [part];
  const levels = {
    ...changed(part, 'level', share),
    ...changed(part, 'uv', share),
    ...changed(part, 'attributes', (attributes) =>
      isObject(attributes)
        ? { ...attributes, ...changed(attributes, 'Dimmer', share), ...changed(attributes, 'ColorAdd_UV', share) }
        : attributes,
    ),
  };
  const after = { ...part, ...levels };
  // What is named by its attribute stands over the level.
  const asked = isObject(part.attributes) && part.attributes.Dimmer !== undefined ? part.attributes.Dimmer : part.level;
  const lamps = asked === undefined ? [] : members(part.who, document).filter((id) => evenOnes.has(id));
  return lamps.length === 0 ? [after] : [after, { who: lamps.map((fixture) => ({ fixture })), level: even(asked) }];
}

/** Ids of the fixtures that are meant. */
function members(who: unknown, { fixtures, groups }: Json): unknown[] {
  const meant = new Set<unknown>();
  each(who, (one) => {
    each(
      fixtures,
      ({ id, use }) => (one.all === true || one.fixture === id || (use !== undefined && one.use === use)) && meant.add(id),
    );
    each(groups, ({ id, fixtures: of }) => {
      if (one.group === id && Array.isArray(of)) for (const fixture of of) meant.add(fixture);
    });
  });
  return [...meant];
}
