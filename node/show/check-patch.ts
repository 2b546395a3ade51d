import { type EmitterName, isEmitter } from '../core/attributes.ts';
import { footprint, type Mode } from '../rig/fixture-type.ts';
import { typesWith } from '../rig/library.ts';
import type { Show } from './document.ts';

type Wrong = (path: string, message: string) => void;

/** Types that the show brings along: no mode named twice, no slot with two masters, no range that runs backwards. */
export function checkTypes(show: Show, wrong: Wrong): void {
  for (const [i, type] of show.fixtureTypes.entries()) {
    const seen = new Set<string>();
    for (const [k, mode] of type.modes.entries()) {
      const path = `fixtureTypes[${i}].modes[${k}]`;
      if (seen.has(mode.id)) wrong(`${path}.id`, `"${mode.id}" is given twice`);
      seen.add(mode.id);
      checkChannels(mode, `${path}.channels`, wrong);
    }
  }
}

function checkChannels(mode: Mode, path: string, wrong: Wrong): void {
  const taken = new Set<number>();
  for (const [i, channel] of mode.channels.entries()) {
    for (const field of ['slot', 'fine', 'ultra'] as const) {
      const slot = channel[field];
      if (slot === undefined) continue;
      if (taken.has(slot)) wrong(`${path}[${i}].${field}`, `slot ${slot} has a job already`);
      taken.add(slot);
    }
    for (const [k, { from, to }] of channel.functions.entries())
      if (from > to) wrong(`${path}[${i}].functions[${k}].to`, `must be at least "from", which is ${from} (found ${to})`);
  }
}

/** Every fixture has a type and a mode that exist, and slots of its own inside one universe. */
export function checkPatch(show: Show, wrong: Wrong): void {
  const types = typesWith(show.fixtureTypes);
  const owners = new Map<string, string>();
  for (const [i, fixture] of show.fixtures.entries()) {
    const { name, type: typeId, mode: modeId, universe, address } = fixture;
    const path = `fixtures[${i}]`;
    const type = types.get(typeId);
    const mode = type?.modes.find(({ id }) => id === modeId);
    if (type === undefined) {
      wrong(`${path}.type`, `there is no fixture type "${typeId}"; known are ${[...types.keys()].join(', ')}`);
      continue;
    }
    if (mode === undefined) {
      wrong(`${path}.mode`, `"${type.name}" has no mode "${modeId}"; it has ${type.modes.map(({ id }) => id).join(', ')}`);
      continue;
    }
    checkAdjustments(fixture, mode, path, wrong);
    const last = address + footprint(mode) - 1;
    if (last > 512) {
      wrong(`${path}.address`, `needs slots ${address} to ${last}, but a universe ends at 512`);
      continue;
    }
    const slots = Array.from({ length: last - address + 1 }, (_, k) => `${universe}/${address + k}`);
    const clash = slots.findIndex((slot) => owners.has(slot));
    if (clash >= 0)
      wrong(
        `${path}.address`,
        `"${name}" and "${owners.get(slots[clash] as string)}" both want slot ${address + clash} of universe ${universe}`,
      );
    for (const slot of slots) owners.set(slot, owners.get(slot) ?? name);
  }
}

/** A lamp is adjusted only in what it has: anything else would be a slip of the pen that nobody sees. */
function checkAdjustments(
  { invert, swapPanTilt, limits, trim }: Show['fixtures'][number],
  mode: Mode,
  path: string,
  wrong: Wrong,
): void {
  const has = new Set(mode.channels.flatMap(({ functions }) => functions.map(({ attribute }) => attribute)));
  const axes = { pan: has.has('Pan'), tilt: has.has('Tilt') };
  for (const axis of ['pan', 'tilt'] as const) {
    if (axes[axis]) continue;
    if (invert?.[axis] === true) wrong(`${path}.invert.${axis}`, `this mode has no ${axis}`);
    if (limits?.[axis] !== undefined) wrong(`${path}.limits.${axis}`, `this mode has no ${axis}`);
  }
  if (swapPanTilt === true && !(axes.pan && axes.tilt)) wrong(`${path}.swapPanTilt`, 'this mode has not both pan and tilt');
  const emitters = [...has].filter(isEmitter);
  for (const name of Object.keys(trim ?? {}) as EmitterName[])
    if (!has.has(name))
      wrong(
        `${path}.trim.${name}`,
        `this mode has no such emitter; it has ${emitters.length === 0 ? 'none' : emitters.join(', ')}`,
      );
}
