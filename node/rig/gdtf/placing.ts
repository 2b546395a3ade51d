import { type AttributeName, attribute, isEmitter } from '../../core/attributes.ts';
import { SLOTS } from '../../core/levels.ts';
import { attributeOf } from './attribute.ts';
import type { RawChannel } from './channels.ts';
import type { Instance, Tree } from './geometry.ts';
import type { Notes } from './notes.ts';

/** A channel in one copy of its geometry. */
export interface Placed {
  readonly raw: RawChannel;
  readonly instance: Instance;
  readonly break: number;
  /** From 1 within its break. */
  readonly places: readonly number[];
}

const wholeLamp: Instance = { key: '', breaks: { first: new Map(), overwrite: { number: 1, offset: 1 } } };

/** Where a channel lies in each copy of its geometry. */
export function placesOf(raw: RawChannel, tree: Tree, notes: Notes): Placed[] {
  if (raw.offsets.length === 0) return [];
  const known = tree.instancesOf(raw.geometry);
  if (known.length === 0) notes.add(`Channel "${raw.name}" is of no geometry of its mode; it is taken for the whole lamp`);
  return (known.length > 0 ? known : [wholeLamp]).map((instance) => {
    const { first, overwrite } = instance.breaks;
    const [number, offset] =
      raw.break === 'overwrite' ? [overwrite.number, overwrite.offset] : [raw.break, first.get(raw.break) ?? 1];
    return { raw, instance, break: number, places: raw.offsets.map((one) => one + offset - 1) };
  });
}

/**
 * Which part of the lamp a channel works on. Each copy of a referenced geometry is one; of the rest, each geometry that has an attribute
 * in common with another beside it, and what lights beams of its own.
 */
export function partsOf(placed: readonly Placed[], tree: Tree): ReadonlyMap<Placed, number> {
  const cells = cellsAmong(placed, tree);
  const apart = apartAmong(placed, cells, tree);
  const numbers = new Map<string, number>();
  const parts = new Map<Placed, number>();
  for (const one of placed) {
    const { instance, raw } = one;
    const cell = cells.get(raw.geometry);
    const key = instance.key !== '' ? instance.key : cell !== undefined ? `geometry ${cell}` : apart(raw);
    if (key === undefined) continue;
    const number = numbers.get(key) ?? numbers.size + 1;
    numbers.set(key, number);
    if (number <= SLOTS) parts.set(one, number);
  }
  return parts;
}

/**
 * Geometries of the mode's own that share an attribute with another that is neither within them nor around them, by name; and what they are
 * one part with: the outermost that holds none beside them, as a head does that is dimmed and has its colours further in.
 */
function cellsAmong(placed: readonly Placed[], tree: Tree): ReadonlyMap<string, string> {
  const sharing = new Map<string, Set<string>>();
  for (const { raw, instance } of placed) {
    if (instance.key !== '') continue;
    for (const { attribute } of raw.functions) {
      if (attribute === 'NoFeature') continue;
      // Geometries of different top-level ones do not lie beside each other.
      const key = `${tree.pathOf(raw.geometry)[0]} ${attribute}`;
      const group = sharing.get(key);
      if (group === undefined) sharing.set(key, new Set([raw.geometry]));
      else group.add(raw.geometry);
    }
  }
  const cells = new Set<string>();
  for (const group of sharing.values()) {
    if (group.size < 2) continue;
    /** How many of the group lie within each, and around each. */
    const related = new Map([...group].map((name) => [name, 0]));
    for (const name of group)
      for (const above of tree.pathOf(name)) {
        if (above === name || !group.has(above)) continue;
        related.set(name, (related.get(name) ?? 0) + 1);
        related.set(above, (related.get(above) ?? 0) + 1);
      }
    for (const [name, count] of related) if (count < group.size - 1) cells.add(name);
  }
  const within = new Map<string, string[]>();
  for (const name of cells)
    for (const above of tree.pathOf(name)) if (cells.has(above)) within.set(above, [...(within.get(above) ?? []), name]);
  const isOne = (name: string): boolean => {
    const inside = within.get(name) ?? [];
    const [innermost = name] = [...inside].sort((a, b) => tree.pathOf(b).length - tree.pathOf(a).length);
    return inside.every((one) => tree.pathOf(innermost).includes(one));
  };
  const alone = new Set([...cells].filter(isOne));
  return new Map([...cells].map((name) => [name, tree.pathOf(name).find((above) => alone.has(above)) ?? name]));
}

/**
 * A channel works on its geometry and what hangs on that (table 58): what keeps light in does nothing to beams that others light. Both are parts
 * then, each with all that hangs on it: a head and the ring of colours around it. Colours beside each other that nothing of their own keeps in
 * are one mixture.
 */
function apartAmong(
  placed: readonly Placed[],
  cells: ReadonlyMap<string, string>,
  tree: Tree,
): (raw: RawChannel) => string | undefined {
  const [own, keeping, lighting] = [new Set<string>(), new Set<string>(), new Set<string>()];
  for (const { raw, instance } of placed) {
    const names = raw.functions.map((one) => attributeOf(one.attribute));
    if (instance.key === '') own.add(raw.geometry);
    if (names.some(keepsLight)) keeping.add(raw.geometry);
    if (names.some((name) => keepsLight(name) || emits(name))) lighting.add(raw.geometry);
  }
  const apart = new Set<string>();
  for (const keeper of keeping)
    for (const other of lighting) {
      if (!own.has(keeper) || !areApart(tree.beamsOn(keeper), tree.beamsOn(other))) continue;
      apart.add(keeper);
      if (own.has(other)) apart.add(other);
    }
  return ({ geometry, functions }) => {
    const path = tree.pathOf(geometry);
    const at = path.findIndex((name) => apart.has(name));
    // Where a head looks is the business of the whole.
    if (at < 0 || functions.some((one) => /^(pan|tilt)/i.test(one.attribute))) return undefined;
    const part = path[at] as string;
    return keeping.has(part) || cells.has(part) ? `geometry ${cells.get(part) ?? part}` : `beside ${path.slice(0, at).join('/')}`;
  };
}

const keepsLight = (name: AttributeName): boolean =>
  name === 'Dimmer' || name.startsWith('Shutter') || attribute(name).tints === true || wheels.has(name);
const wheels: ReadonlySet<AttributeName> = new Set(['Color1', 'Color2']);
const emits = (name: AttributeName): boolean => isEmitter(name) || name === 'ColorAdd_UV';

function areApart(some: ReadonlySet<number>, others: ReadonlySet<number>): boolean {
  const [few, many] = some.size <= others.size ? [some, others] : [others, some];
  if (few.size === 0) return false;
  for (const one of few) if (many.has(one)) return false;
  return true;
}
