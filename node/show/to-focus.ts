import { changed, each, isObject, type Json } from './json-parts.ts';

/**
 * Version 4: a beam does not rest where guests may look into it, unless a part says that it shall. Whoever made an older show has looked at where its
 * heads point: what it aims stays as it is.
 */
export const toVersion4 = (document: Json): Json => ({
  ...document,
  ...changed(document, 'looks', (of) => each(of, withParts)),
  ...changed(document, 'hits', (of) => each(of, withParts)),
  ...changed(document, 'chases', (of) =>
    each(of, (one) => ({ ...one, ...changed(one, 'steps', (steps) => each(steps, withParts)) })),
  ),
});

const withParts = (one: Json): Json => ({
  ...one,
  ...changed(one, 'parts', (parts) => each(parts, (part) => (aims(part) ? { ...part, focus: true } : part))),
});

const aims = ({ aim, attributes }: Json): boolean =>
  aim !== undefined || (isObject(attributes) && (attributes.Pan !== undefined || attributes.Tilt !== undefined));
