import { attribute, isEmitter } from '../core/attributes.ts';
import type { Channel, ChannelFunction, Mode } from './fixture-type.ts';

const CLOSED = 0;
const OPEN = 1;

/** By the mode as its type has it: lamps of a kind share theirs. */
const known = new WeakMap<Mode, Mode>();

/**
 * The mode as its lamps are worked: a shutter that is all they can be dark by is what dims them, on or off as a relay is. As a shutter it would
 * rest open, and they would shine while nothing is asked of them.
 */
export function workedMode(mode: Mode): Mode {
  const made = known.get(mode) ?? (isDarkByShutterOnly(mode) ? { ...mode, channels: mode.channels.map(dimming) } : mode);
  known.set(mode, made);
  return made;
}

function isDarkByShutterOnly({ channels }: Mode): boolean {
  const functions = channels.flatMap((one) => one.functions);
  return (
    functions.some(({ attribute: name }) => name === 'Shutter1') &&
    functions.every(({ attribute: name }) => attribute(name).intensity !== true && !isEmitter(name))
  );
}

function dimming(channel: Channel): Channel {
  const shutter = channel.functions.find((one) => one.attribute === 'Shutter1' && one.when === undefined);
  if (shutter === undefined) return channel;
  const others = channel.functions.filter((one) => one !== shutter);
  const { default: _, initial: _at, ...rest } = channel;
  if (shutter.stretches === undefined) return { ...rest, functions: [{ ...shutter, attribute: 'Dimmer' }, ...others] };
  const stretchOf = (slot: number): ChannelFunction | undefined => {
    const found = shutter.stretches?.find((one) => one.slot === slot);
    return found && { ...shutter, from: found.from, to: found.to, physical: [0, 1], stretches: undefined, sets: [] };
  };
  const [closed, open] = [stretchOf(CLOSED), stretchOf(OPEN)];
  if (closed === undefined || open === undefined) return channel;
  return {
    ...rest,
    functions: [
      { ...closed, attribute: 'NoFeature' },
      // All of its light at either end.
      { ...open, attribute: 'Dimmer', curve: [1, 1] },
      ...others,
    ],
  };
}
