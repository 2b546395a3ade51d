import type { AttributeName } from '../../../../node/core/attributes.ts';
import { wheelNames } from '../../../../node/core/attributes.ts';
import { type Channel, type ChannelFunction, type FixtureType, fixtureType, type Mode } from '../../../../node/rig/fixture-type.ts';

/** What a maker's table says of one slot: a channel with its jobs, or the lower byte of one. */
export interface TableRow {
  readonly slot: number;
  /** Place among the channels of the mode. */
  readonly at?: number;
  readonly channel?: Channel;
  readonly fineOf?: Channel;
}

/** A mode as a table, a row for each slot; one that no channel has is empty. */
export function tableOf({ channels }: Mode): TableRow[] {
  const last = Math.max(...channels.map(({ slot, fine = 0, ultra = 0 }) => Math.max(slot, fine, ultra)));
  return Array.from({ length: last }, (_, i): TableRow => {
    const slot = i + 1;
    const at = channels.findIndex((one) => one.slot === slot);
    const channel = channels[at];
    if (channel !== undefined) return { slot, at, channel };
    const fineOf = channels.find((one) => one.fine === slot || one.ultra === slot);
    return fineOf === undefined ? { slot } : { slot, fineOf };
  });
}

/** Ends of what an attribute gives over a whole channel, in its unit: what is usual, until somebody says otherwise. */
const usual: Readonly<Partial<Record<AttributeName, readonly [number, number]>>> = {
  Pan: [-270, 270],
  Tilt: [-135, 135],
  Zoom: [10, 60],
  Shutter1Strobe: [1, 20],
  Prism1: [0, 1],
};

export const isWheel = (name: AttributeName): boolean => wheelNames.some((one) => one === name);

/** A job over a stretch of a channel's values. */
export function jobOf(attribute: AttributeName, from: number, to: number): ChannelFunction {
  const [low, high] = usual[attribute] ?? (isWheel(attribute) ? [1, 8] : [0, 1]);
  return { attribute, from, to, physical: [low, high], curve: 'linear', sets: [] };
}

export const fullOf = ({ fine }: Pick<Channel, 'fine'>): number => (fine === undefined ? 255 : 65_535);

/** A channel that does one thing over all of its range. */
export const plainChannel = (slot: number, attribute: AttributeName = 'NoFeature'): Channel => ({
  slot,
  functions: [jobOf(attribute, 0, 255)],
});

type Channels = readonly Channel[];

/** Every slot from one on moved up or down. */
function shifted(channels: Channels, from: number, by: number): Channel[] {
  const move = (slot: number): number => (slot >= from ? slot + by : slot);
  return channels.map((one) => ({
    ...one,
    slot: move(one.slot),
    ...(one.fine !== undefined && { fine: move(one.fine) }),
    ...(one.ultra !== undefined && { ultra: move(one.ultra) }),
    functions: one.functions.map((job) =>
      job.when === undefined ? job : { ...job, when: { ...job.when, slot: move(job.when.slot) } },
    ),
  }));
}

const inTurn = (channels: Channels): Channel[] => [...channels].sort((a, b) => a.slot - b.slot);

/** A new channel at a slot; what stood there and behind it moves on. */
export const withChannel = (channels: Channels, slot: number, attribute?: AttributeName): Channel[] =>
  inTurn([...shifted(channels, slot, 1), plainChannel(slot, attribute)]);

/** Without the channel at a slot, and its lower byte; at a lower byte without that. What stands behind moves up. */
export function withoutSlot(channels: Channels, slot: number): Channel[] {
  const upper = channels.find(({ fine }) => fine === slot);
  if (upper !== undefined) return withFine(channels, upper.slot, false);
  const gone = channels.find((one) => one.slot === slot);
  const slots = [gone?.slot, gone?.fine, gone?.ultra].filter((one) => one !== undefined).sort((a, b) => b - a);
  const left = channels.filter((one) => one !== gone);
  return inTurn((gone === undefined ? [slot] : slots).reduce<Channel[]>((all, one) => shifted(all, one + 1, -1), [...left]));
}

/** The channel at a slot with two bytes, or with one. The lower byte takes the next slot where that is unused; else one is put in for it. */
export function withFine(channels: Channels, slot: number, on: boolean): Channel[] {
  const channel = channels.find((one) => one.slot === slot);
  if (channel === undefined || (channel.fine !== undefined) === on) return [...channels];
  if (!on) {
    const { fine = slot + 1, ...rest } = channel;
    const narrow = {
      ...rest,
      ...scaled(
        channel,
        (value) => value >> 8,
        (value) => value >> 8,
      ),
    };
    return inTurn(
      shifted(
        channels.map((one) => (one === channel ? narrow : one)),
        fine + 1,
        -1,
      ),
    );
  }
  const next = channels.find((one) => one.slot === slot + 1);
  const isFree = next === undefined ? !isTaken(channels, slot + 1) : isUnused(next);
  const made = isFree ? channels.filter((one) => one !== next) : shifted(channels, slot + 1, 1);
  return inTurn(
    made.map((one) =>
      one.slot === slot
        ? {
            ...one,
            fine: slot + 1,
            ...scaled(
              one,
              (value) => value * 256,
              (value) => value * 256 + 255,
              (value) => value * 257,
            ),
          }
        : one,
    ),
  );
}

const isUnused = ({ fine, functions }: Channel): boolean =>
  fine === undefined && functions.every(({ attribute }) => attribute === 'NoFeature');
export const isTaken = (channels: Channels, slot: number): boolean =>
  channels.some((one) => one.slot === slot || one.fine === slot || one.ultra === slot);

type Scale = (value: number) => number;

function scaled(
  { functions, default: standing }: Channel,
  low: Scale,
  high: Scale,
  middle: Scale = low,
): Pick<Channel, 'functions' | 'default'> {
  return {
    functions: functions.map((job) => ({
      ...job,
      from: low(job.from),
      to: high(job.to),
      ...(job.stretches !== undefined && {
        stretches: job.stretches.map((one) => ({ ...one, from: low(one.from), to: high(one.to) })),
      }),
    })),
    ...(standing === undefined ? {} : { default: middle(standing) }),
  };
}

/** A value of a channel as a maker's table has it, 0 to 255. */
export const byteOf = (channel: Pick<Channel, 'fine'>, value: number): number => (channel.fine === undefined ? value : value >> 8);
export const lowOf = (channel: Pick<Channel, 'fine'>, byte: number): number => (channel.fine === undefined ? byte : byte * 256);
export const highOf = (channel: Pick<Channel, 'fine'>, byte: number): number =>
  channel.fine === undefined ? byte : byte * 256 + 255;

/** What a table's field makes no sense in, and where: a job by its place, where it is of one. */
export interface Mistake {
  readonly slot: number;
  readonly job?: number;
  readonly field: 'from' | 'to' | 'default' | 'slot';
  readonly message: string;
}

/** What is amiss in the table of a mode, so that it can be said at the field. */
export function mistakesIn(mode: Mode): Mistake[] {
  const owners = new Map<number, number>();
  return mode.channels.flatMap((channel) => {
    const { slot, functions, default: standing } = channel;
    const found: Mistake[] = [];
    for (const own of [slot, channel.fine, channel.ultra]) {
      if (own === undefined) continue;
      const other = owners.get(own);
      if (other !== undefined)
        found.push({ slot, field: 'slot', message: `Channel ${own} has a job already, with channel ${other}.` });
      owners.set(own, slot);
    }
    for (const [job, { from, to }] of functions.entries()) {
      if (from > to) found.push({ slot, job, field: 'to', message: `Ends before it begins, at ${byteOf(channel, from)}.` });
      const before = functions.slice(0, job).find((one) => from <= one.to && to >= one.from);
      if (before !== undefined)
        found.push({
          slot,
          job,
          field: 'from',
          message: `${byteOf(channel, Math.max(from, before.from))} belongs to another job already.`,
        });
    }
    if (standing !== undefined && standing > fullOf(channel))
      found.push({ slot, field: 'default', message: `Is above ${fullOf(channel)}.` });
    return found;
  });
}

/** Modes as the node keeps them, with every default in its place; a sentence where they have not the shape that they must have. */
export function wholeModes(modes: unknown): FixtureType['modes'] | string {
  const read = fixtureType.shape.modes.safeParse(modes);
  if (read.success) return read.data;
  return read.error.issues[0]?.message ?? 'That cannot be kept.';
}

/** A place of a wheel, a prism or a shutter, as people write it. */
export interface NamedPlace {
  readonly name: string;
  readonly from?: number;
  readonly to?: number;
}

/** `open 0–9, red 10–19` or `open, red, blue`, dealt out evenly; a sentence where it is neither. */
export function readPlaces(text: string): readonly NamedPlace[] | string {
  const parts = text
    .split(/[,;\n]/)
    .map((part) => part.trim())
    .filter(Boolean);
  if (parts.length === 0) return 'Write the places in their order, such as open, red, blue.';
  if (parts.length > 64) return 'There may be at most 64 places.';
  const places = parts.map((part): NamedPlace => {
    const found = /^(.*?)\s*(\d{1,3})(?:\s*(?:-|–|to)\s*(\d{1,3}))?$/.exec(part);
    if (found === null || found[1] === '') return { name: part.slice(0, 80) };
    const from = Number(found[2]);
    return { name: (found[1] ?? '').slice(0, 80), from, to: found[3] === undefined ? from : Number(found[3]) };
  });
  const ranged = places.filter(({ from }) => from !== undefined).length;
  if (ranged > 0 && ranged < places.length)
    return `Say of all places where they are, or of none: “${places.find(({ from }) => from === undefined)?.name}” has no numbers.`;
  const wrong = places.find(({ from = 0, to = 0 }) => from > to || to > 255);
  if (wrong !== undefined) return `“${wrong.name}” must go from a number up to another, 255 at most.`;
  return places;
}

export const placesInWords = (places: readonly NamedPlace[]): string =>
  places
    .map(({ name, from, to }) => (from === undefined ? name : from === to ? `${name} ${from}` : `${name} ${from}–${to}`))
    .join(', ');

/** The slot that the first place of a wheel has: a prism and a shutter begin with none. */
export const firstSlot = (attribute: AttributeName): number => (attribute === 'Prism1' || attribute === 'Shutter1' ? 0 : 1);

/** A job that has these places. @returns a sentence where they do not suit it */
export function withPlaces(job: ChannelFunction, channel: Channel, places: readonly NamedPlace[]): ChannelFunction | string {
  const first = firstSlot(job.attribute);
  const slots = places.map(({ name }, i) => (job.attribute === 'Shutter1' ? shutterSlot(name) : first + i));
  if (slots.some((slot) => slot === undefined)) return 'Call them “closed” and “open”, with the numbers of each.';
  const isRanged = places.every(({ from }) => from !== undefined);
  if (job.attribute === 'Shutter1' && !isRanged) return 'Say where it is closed and where open, such as closed 0–7, open 8–15.';
  const { stretches: _, ...rest } = job;
  const physical: [number, number] = [first, first + Math.max(1, places.length - 1)];
  if (!isRanged && places.length > 1) return { ...rest, physical };
  const stretches = places.map(({ from = 0, to = 255 }, i) => ({
    slot: slots[i] ?? first,
    from: lowOf(channel, from),
    to: highOf(channel, to),
  }));
  const [least, most] = [Math.min(...stretches.map(({ from }) => from)), Math.max(...stretches.map(({ to }) => to))];
  return { ...rest, from: isRanged ? least : job.from, to: isRanged ? most : job.to, physical, stretches };
}

const shutterSlot = (name: string): number | undefined =>
  /^(closed|close|shut|dark|black)/i.test(name) ? 0 : /^open/i.test(name) ? 1 : undefined;

/** The places of a job as they were written. */
export function placesOf(
  { attribute, stretches, physical: [, last] }: ChannelFunction,
  channel: Channel,
  type: FixtureType,
): NamedPlace[] {
  const wheel = isWheel(attribute) ? (type.wheels[attribute as keyof FixtureType['wheels']] ?? []) : [];
  const nameOf = (slot: number): string => {
    if (attribute === 'Shutter1') return slot === 0 ? 'closed' : 'open';
    if (attribute === 'Prism1') return slot === 0 ? 'out' : (wheel[slot - 1]?.name ?? `prism ${slot}`);
    return wheel[slot - 1]?.name ?? `place ${slot}`;
  };
  if (stretches !== undefined)
    return stretches.map(({ slot, from, to }) => ({ name: nameOf(slot), from: byteOf(channel, from), to: byteOf(channel, to) }));
  if (attribute === 'Shutter1') return [];
  const first = firstSlot(attribute);
  return Array.from({ length: Math.max(0, last - first + 1) }, (_, i) => ({ name: nameOf(first + i) }));
}
