import type { ChannelSummary, FixtureSummary } from '../../../node/api/contract.ts';

type Range = ChannelSummary['ranges'][number];

const FULL = 255;
/** Steps of the low byte within one of the high byte. */
const FINE_STEPS = 256;

/** A channel without ranges of its own is the low byte of one with the same attribute. */
export const isFine = (channel: ChannelSummary): boolean => channel.ranges.length === 0;

/**
 * The channel of the byte below a high byte, if it has one. Low bytes are labelled after their high byte; where several channels share a
 * label, each has its share of them in the order of slots. A third byte makes a difference that no word shows.
 */
export function fineOf({ channels }: FixtureSummary, coarse: ChannelSummary): ChannelSummary | undefined {
  if (isFine(coarse)) return undefined;
  const same = channels.filter(({ attribute }) => attribute === coarse.attribute);
  const high = same.filter((one) => !isFine(one) && one.label === coarse.label);
  const low = same.filter((one) => isFine(one) && one.label.startsWith(`${coarse.label},`));
  return low[Math.floor((high.indexOf(coarse) * low.length) / high.length)];
}

/** The range that has a value, or undefined between ranges. `value` 0..255, with a fraction where there is a low byte. */
const rangeAt = ({ ranges }: ChannelSummary, value: number): Range | undefined =>
  ranges.find(({ from, to }) => value >= from && value <= to) ?? ranges.find(({ from, to }) => value >= from && value < to + 1);

/** What a value means in the range's unit, linear between its ends; a wheel's stretch of values is one place. */
function physicalAt({ from, to, low, high, unit }: Range, value: number): number {
  if (unit === 'slot') {
    const places = Math.abs(high - low) + 1;
    const along = Math.min(places - 1, Math.floor(((value - from) * places) / (to + 1 - from)));
    return low + Math.sign(high - low) * along;
  }
  return to === from ? low : low + ((high - low) * Math.min(value - from, to - from)) / (to - from);
}

/** The value 0..255 of a high byte and its low byte: 16 bits over the same span as 8, as the node sends them. */
export const joined = (coarse: number, fine: number | undefined): number =>
  fine === undefined ? coarse : ((coarse * FINE_STEPS + fine) * FULL) / (FULL * FINE_STEPS + FULL);

const figure = (value: number, digits: number): string => {
  const text = Math.abs(value).toFixed(digits);
  return Number(text) !== 0 && value < 0 ? `−${text}` : text;
};

const percent = (share: number): string => `${figure(share * 100, 0)} %`;

function inRange(range: Range, value: number, { attribute, places = [] }: ChannelSummary): string {
  const physical = physicalAt(range, value);
  switch (range.unit) {
    case 'off':
      return attribute === 'NoFeature' ? 'nothing' : 'off';
    case 'level':
      if (attribute !== 'Shutter1') return percent(physical);
      return physical <= 0 ? 'closed' : physical >= 1 ? 'open' : `${percent(physical)} open`;
    case 'degrees':
      return `${figure(physical, 1)}°`;
    case 'hertz':
      return `${figure(physical, 1).replace('.0', '')} ${physical === 1 ? 'flash' : 'flashes'} a second`;
    case 'slot':
      if (attribute.startsWith('Prism')) return physical === 0 ? 'out' : (places[physical - 1] ?? 'in');
      return places[physical - 1] ?? `place ${figure(physical, 0)}`;
    default:
      return `${figure(physical, 1)} ${range.unit}`;
  }
}

/** A slot's value in plain words: `62 %`, `−12.0°`, `Red`, `place 3`. */
export function valueWords(channel: ChannelSummary, byte: number, fineByte?: number): string {
  if (isFine(channel)) return `${byte} of 255`;
  const value = joined(byte, fineByte);
  const range = rangeAt(channel, value);
  return range === undefined ? 'between two settings' : inRange(range, value, channel);
}

const number = '([+\\-−]?\\d+(?:[.,]\\d+)?)';
const forms: readonly [RegExp, unit: string, scale: number][] = [
  [new RegExp(`^${number}\\s*%$`), 'level', 0.01],
  [new RegExp(`^${number}\\s*(?:°|deg|degrees?)$`), 'degrees', 1],
  [new RegExp(`^${number}\\s*(?:hz|/s|flashes(?: a second)?)$`), 'hertz', 1],
  [new RegExp(`^(?:place|no\\.?)\\s*${number}$`), 'slot', 1],
];

/** What a person typed as a value of the slot, 0..255: `128`, `50 %`, `-12°`, `4 Hz`, `place 3`, `full`, `off`. Undefined: not understood. */
export function readValue(channel: ChannelSummary | undefined, text: string): number | undefined {
  const said = text.trim().toLowerCase();
  if (/^\d{1,3}$/.test(said)) return Number(said) <= FULL ? Number(said) : undefined;
  if (said === 'full') return FULL;
  if (said === 'off' || said === 'zero') return 0;
  for (const [form, unit, scale] of forms) {
    const found = form.exec(said);
    if (found === null) continue;
    const wanted = Number((found[1] as string).replace('−', '-').replace(',', '.')) * scale;
    const range = channel?.ranges.find((one) => one.unit === unit && within(one, wanted));
    if (range !== undefined) return byteFor(range, wanted);
    // A slot of which nothing is known, or whose unit is another, still has a share of full.
    return unit === 'level' && wanted >= 0 && wanted <= 1 ? Math.round(wanted * FULL) : undefined;
  }
  return undefined;
}

const within = ({ low, high }: Range, wanted: number): boolean => wanted >= Math.min(low, high) && wanted <= Math.max(low, high);

function byteFor({ from, to, low, high, unit }: Range, wanted: number): number {
  if (to === from || (high === low && unit !== 'slot')) return from;
  // A place of a wheel is a stretch of values: its middle.
  if (unit === 'slot') {
    const places = Math.abs(high - low) + 1;
    return Math.floor(from + ((Math.abs(Math.round(wanted) - low) + 0.5) * (to + 1 - from)) / places);
  }
  return Math.round(from + ((wanted - low) * (to - from)) / (high - low));
}
