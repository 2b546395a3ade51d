import { labels } from '../core/attribute-labels.ts';
import { attribute } from '../core/attributes.ts';
import type { Channel, ChannelFunction, FixtureType, Mode } from './fixture-type.ts';

/** A channel of a mode in words. */
export interface ChannelFact {
  /** `3`, or `3 and 4` of one with a fine byte; of a further start address with its number. */
  readonly slots: string;
  readonly what: string;
  /** Values of its high byte and what they do, one after the other. */
  readonly values: readonly string[];
}

/** What each channel of a mode does, in the order of its slots. */
export const channelFacts = ({ channels }: Mode, { wheels }: Pick<FixtureType, 'wheels'>): ChannelFact[] =>
  [...channels]
    .sort((a, b) => (a.break ?? 1) - (b.break ?? 1) || a.slot - b.slot)
    .map((channel) => ({
      slots: slotsOf(channel),
      what: whatOf(channel),
      values: channel.functions.flatMap((job) => valuesOf(job, channel, wheels)),
    }));

function slotsOf({ slot, fine, ultra, break: number }: Channel): string {
  const all = [slot, fine, ultra].filter((one) => one !== undefined);
  return `${all.length < 2 ? all.join('') : `${all.slice(0, -1).join(', ')} and ${all.at(-1)}`}${number === undefined ? '' : ` from start address ${number}`}`;
}

function whatOf({ functions, part }: Channel): string {
  const names = [...new Set(functions.map(({ attribute: name }) => labels[name]))];
  const used = names.length > 1 ? names.filter((one) => one !== labels.NoFeature) : names;
  return `${used.join(', ')}${part === undefined ? '' : ` of part ${part}`}`;
}

function valuesOf(job: ChannelFunction, channel: Channel, wheels: FixtureType['wheels']): string[] {
  const { attribute: name, from, to, stretches, sets } = job;
  const low = channel.ultra !== undefined ? 65_536 : channel.fine !== undefined ? 256 : 1;
  const at = (first: number, last: number): string => {
    const [a, b] = [Math.floor(first / low), Math.floor(last / low)];
    return a === b ? String(a) : `${a}–${b}`;
  };
  if (stretches !== undefined)
    return stretches.map((one) => {
      const set = sets.find((other) => other.from <= one.from && other.to >= one.to)?.name;
      return `${at(one.from, one.to)}: ${placeOf(name, one.slot, wheels) ?? set ?? `place ${one.slot}`}`;
    });
  return [`${at(from, to)}: ${job.name ?? labels[name]}${endsOf(job)}`];
}

function placeOf(name: ChannelFunction['attribute'], slot: number, wheels: FixtureType['wheels']): string | undefined {
  if (name === 'Shutter1') return slot === 0 ? 'closed' : 'open';
  if (name === 'Prism1' && slot === 0) return 'out';
  return wheels[name as keyof typeof wheels]?.[slot - 1]?.name;
}

/** From what to what it goes, where that is more than from nothing to all. */
function endsOf({ attribute: name, physical: [a, b] }: ChannelFunction): string {
  switch (attribute(name).unit) {
    case 'degrees':
      return `, ${a}° to ${b}°`;
    case 'hertz':
      return `, ${a} to ${b} a second`;
    case 'slot':
      return `, places ${a} to ${b}`;
    default:
      return a > b ? ', from all to nothing' : '';
  }
}
