import { type EmitterName, isEmitter } from '../core/attributes.ts';
import { SLOTS } from '../core/levels.ts';
import { type FixtureType, footprints, type Mode } from '../rig/fixture-type.ts';
import { typesWith } from '../rig/library.ts';
import { Choice } from './choice.ts';
import type { Show } from './document.ts';
import { type Fault, faultAt, type Place, placesOf } from './places.ts';

/** Types that the show brings along: no mode named twice, no slot with two masters, no range that runs backwards. */
export function* typeFaults(show: Show): Generator<Fault> {
  for (const at of placesOf(show, 'fixtureType')) {
    const seen = new Set<string>();
    for (const [k, mode] of at.thing.modes.entries()) {
      if (seen.has(mode.id)) yield faultAt(at, `modes[${k}].id`, `"${mode.id}" is given twice`);
      seen.add(mode.id);
      yield* channelFaults(mode, at, `modes[${k}].channels`);
    }
  }
}

function* channelFaults(mode: Mode, at: Place, within: string): Generator<Fault> {
  const taken = new Set<string>();
  for (const [i, channel] of mode.channels.entries()) {
    const { break: number = 1 } = channel;
    for (const field of ['slot', 'fine', 'ultra'] as const) {
      const slot = channel[field];
      if (slot === undefined) continue;
      const key = `${number}.${slot}`;
      if (taken.has(key)) yield faultAt(at, `${within}[${i}].${field}`, `slot ${slot} has a job already`);
      taken.add(key);
    }
    for (const [k, { from, to }] of channel.functions.entries())
      if (from > to)
        yield faultAt(at, `${within}[${i}].functions[${k}].to`, `must be at least "from", which is ${from} (found ${to})`);
  }
}

/** Every fixture has a type and a mode that exist, and slots of its own inside one universe. */
export function* patchFaults(show: Show): Generator<Fault> {
  const types = typesWith<FixtureType>(show.fixtureTypes);
  const known = new Choice('fixture type', types.keys());
  /** By universe, who has each slot. */
  const owners = new Map<number, (string | undefined)[]>();
  for (const at of placesOf(show, 'fixture')) {
    const { name, type: typeId, mode: modeId, universe, address } = at.thing;
    const type = types.get(typeId);
    const mode = type?.modes.find(({ id }) => id === modeId);
    if (type === undefined) yield faultAt(at, 'type', known.lacks(typeId));
    else if (mode === undefined)
      yield faultAt(
        at,
        'mode',
        `"${type.name}" has no mode "${modeId}"; ${
          new Choice(
            'mode',
            type.modes.map(({ id }) => id),
          ).words
        }`,
      );
    else yield* adjustmentFaults(at, mode);
    if (type?.kind === 'laser' && at.thing.use !== 'laser')
      yield faultAt(at, 'use', `"${type.name}" is a laser: its use must be "laser" (found "${at.thing.use}")`);
    if (universe === undefined) yield faultAt(at, 'universe', 'has no universe yet');
    if (address === undefined) yield faultAt(at, 'address', 'has no address yet');
    if (mode === undefined || universe === undefined || address === undefined) continue;
    const { further = [] } = at.thing;
    const sizes = footprints(mode);
    const wanted = sizes.length - 1;
    if (further.length !== wanted)
      yield faultAt(
        at,
        'further',
        `"${mode.name}" has ${wanted === 0 ? 'one start address' : `${wanted + 1} start addresses`}: further ones must be ${wanted} (found ${further.length})`,
      );
    for (const [i, start] of [{ universe, address }, ...further].entries()) {
      const size = sizes[i]?.size ?? 0;
      if (size > 0) yield* slotFaults(at, i === 0 ? 'address' : `further[${i - 1}].address`, name, { ...start, size }, owners);
    }
  }
}

/** @param owners by universe, who has each slot; this one takes what nobody has. */
function* slotFaults(
  at: Place<Show['fixtures'][number]>,
  field: string,
  name: string,
  { universe, address, size }: { readonly universe: number; readonly address: number; readonly size: number },
  owners: Map<number, (string | undefined)[]>,
): Generator<Fault> {
  const last = address + size - 1;
  if (last > SLOTS) {
    yield faultAt(at, field, `needs slots ${address} to ${last}, but a universe ends at ${SLOTS}`);
    return;
  }
  const owned = owners.get(universe) ?? new Array<string | undefined>(SLOTS + 1);
  owners.set(universe, owned);
  let clash = address;
  while (clash <= last && owned[clash] === undefined) clash++;
  if (clash <= last) yield faultAt(at, field, `"${name}" and "${owned[clash]}" both want slot ${clash} of universe ${universe}`);
  for (let slot = address; slot <= last; slot++) owned[slot] ??= name;
}

/** A lamp is adjusted only in what it has: anything else would be a slip of the pen that nobody sees. */
function* adjustmentFaults(at: Place<Show['fixtures'][number]>, mode: Mode): Generator<Fault> {
  const { invert, swapPanTilt, limits, trim } = at.thing;
  const has = new Set(mode.channels.flatMap(({ functions }) => functions.map(({ attribute }) => attribute)));
  const axes = { pan: has.has('Pan'), tilt: has.has('Tilt') };
  for (const axis of ['pan', 'tilt'] as const) {
    if (axes[axis]) continue;
    if (invert?.[axis] === true) yield faultAt(at, `invert.${axis}`, `this mode has no ${axis}`);
    if (limits?.[axis] !== undefined) yield faultAt(at, `limits.${axis}`, `this mode has no ${axis}`);
  }
  if (swapPanTilt === true && !(axes.pan && axes.tilt)) yield faultAt(at, 'swapPanTilt', 'this mode has not both pan and tilt');
  const emitters = [...has].filter(isEmitter);
  for (const name of Object.keys(trim ?? {}) as EmitterName[])
    if (!has.has(name))
      yield faultAt(
        at,
        `trim.${name}`,
        `this mode has no such emitter; it has ${emitters.length === 0 ? 'none' : emitters.join(', ')}`,
      );
}
