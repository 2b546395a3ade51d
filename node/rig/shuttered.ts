import { attribute, isEmitter } from '../core/attributes.ts';
import type { Channel, ChannelFunction, FixtureType, Mode } from './fixture-type.ts';
import { hangsOn, oneDimmerEach } from './in-series.ts';

type Pieces = NonNullable<FixtureType['geometry']>;

const CLOSED = 0;
const OPEN = 1;

/** By the mode as its type has it: lamps of a kind share theirs. */
const known = new WeakMap<Mode, Mode>();

/**
 * The mode as its lamps are worked: a shutter that is all they can be dark by is what dims them, on or off as a relay is. As a shutter it would
 * rest open, and they would shine while nothing is asked of them. Of dimmers one behind the other the outermost dims.
 */
export function workedMode(mode: Mode, { geometry = [] }: Pick<FixtureType, 'geometry'>): Mode {
  const made = known.get(mode) ?? madeOf(mode, geometry);
  known.set(mode, made);
  return made;
}

function madeOf(mode: Mode, pieces: Pieces): Mode {
  const channels = oneDimmerEach(mode, pieces).map((one) => (isAllThatDarkens(one, mode, pieces) ? dimming(one) : one));
  return channels.every((one, i) => one === mode.channels[i]) ? mode : { ...mode, channels };
}

/** Whether nothing else takes the light down that this shutter lets out: of a part its own and the whole, of the whole all of the lamp. */
function isAllThatDarkens(channel: Channel, { channels }: Mode, pieces: Pieces): boolean {
  const { part, functions } = channel;
  if (!functions.some(({ attribute: name }) => name === 'Shutter1')) return false;
  return !channels.some(
    (other) => other.functions.some(lights) && (part === undefined || isOver(other, channel) || hangsOn(other, channel, pieces)),
  );
}

const lights = ({ attribute: name }: ChannelFunction): boolean => attribute(name).intensity === true || isEmitter(name);
const isOver = (other: Channel, { part }: Channel): boolean => other.part === undefined || other.part === part;

/** Of a shutter of which nobody has told where it is closed its very ends: what lies between flashes on many a lamp. */
function endsOf({ from, to, physical: [low, high] }: ChannelFunction): { slot: number; from: number; to: number }[] {
  const [closed, open] = low <= high ? [from, to] : [to, from];
  return [
    { slot: CLOSED, from: closed, to: closed },
    { slot: OPEN, from: open, to: open },
  ];
}

function dimming(channel: Channel): Channel {
  const shutter = channel.functions.find((one) => one.attribute === 'Shutter1' && one.when === undefined);
  if (shutter === undefined) return channel;
  const others = channel.functions.filter((one) => one !== shutter);
  const { default: _, initial: _at, ...rest } = channel;
  const stretchOf = (slot: number): ChannelFunction | undefined => {
    const found = (shutter.stretches ?? endsOf(shutter)).find((one) => one.slot === slot);
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
