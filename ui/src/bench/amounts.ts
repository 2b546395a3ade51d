/** Amounts as people write them, and as the bench writes them. What makes no sense is undefined. */

/** `3,5`, `3.5`, `1/2`, `1 1/2`, `1½`, `-12`, `−12`, and whatever unit stands behind. */
const written = /^([-−+]?)(?:(\d+)\s+)?(\d+)\s*\/\s*(\d+)\s*(.*)$|^([-−+]?)(\d+(?:[.,]\d+)?|[.,]\d+)\s*(.*)$/;

const signs: Readonly<Record<string, string>> = { '½': '1/2', '¼': '1/4', '¾': '3/4' };

interface Amount {
  readonly value: number;
  /** In small letters; empty where there is none. */
  readonly unit: string;
  readonly isFraction: boolean;
}

function readAmount(text: string): Amount | undefined {
  const found = written.exec(text.replace(/[½¼¾]/g, (sign) => ` ${signs[sign]} `).trim());
  if (found === null) return undefined;
  const [, sign, whole, top, bottom, after, plainSign, plain, plainAfter] = found;
  const isFraction = top !== undefined;
  const size = isFraction ? Number(whole ?? 0) + Number(top) / Number(bottom) : Number((plain ?? '').replace(',', '.'));
  if (!Number.isFinite(size)) return undefined;
  const isMinus = ['-', '−'].includes(sign ?? plainSign ?? '');
  return { value: isMinus ? -size : size, unit: (after ?? plainAfter ?? '').trim().toLowerCase(), isFraction };
}

/** Rounded so that what was read is what is written again. */
const tidy = (value: number): number => Math.round(value * 1e4) / 1e4;

/** A reader of one unit, that takes what lies between the ends. */
export const reader =
  (units: readonly string[], least: number, most: number) =>
  (text: string): number | undefined => {
    const amount = readAmount(text);
    if (amount === undefined || !(amount.unit === '' || units.includes(amount.unit))) return undefined;
    return amount.value >= least && amount.value <= most ? tidy(amount.value) : undefined;
  };

export const readDegrees = (least: number, most: number) => reader(['°', 'deg', 'degs', 'degree', 'degrees'], least, most);
const METRES: Readonly<Record<string, number>> = { '': 1, m: 1, metre: 1, metres: 1, meter: 1, meters: 1, cm: 0.01 };
/** The international foot and inch: exactly 0.3048 and 0.0254 metres. */
const FEET: Readonly<Record<string, number>> = { ft: 0.3048, "'": 0.3048, '′': 0.3048, foot: 0.3048, feet: 0.3048 };
const INCHES: Readonly<Record<string, number>> = { in: 0.0254, '"': 0.0254, '″': 0.0254, inch: 0.0254, inches: 0.0254 };

/** `2,4`, `2.4 m`, `240 cm`, `8 ft`, `8 ft 6 in`, `8'6"`, `30 in`. @returns metres, to the millimetre */
export const readMetres =
  (least: number, most: number) =>
  (text: string): number | undefined => {
    const [, first = '', second] = /^(.+?(?:ft|feet|foot|'|′))\s*([\d.,/ ]+\s*(?:in|inch|inches|"|″))$/i.exec(text.trim()) ?? [
      '',
      text,
    ];
    const [a, b] = [readAmount(first), second === undefined ? undefined : readAmount(second)];
    if (a === undefined || (second !== undefined && (b === undefined || b.value < 0))) return undefined;
    const unit = METRES[a.unit] ?? FEET[a.unit] ?? INCHES[a.unit];
    if (unit === undefined) return undefined;
    const more = b === undefined ? 0 : b.value * (INCHES[b.unit] ?? Number.NaN) * (a.value < 0 ? -1 : 1);
    const metres = Math.round((a.value * unit + more) * 1000) / 1000;
    return metres >= least && metres <= most ? metres : undefined;
  };
/** A bare number that is too large for metres may be centimetres, as a tape measure has them. @returns metres, where those would do */
export function metresOfCentimetres(text: string, least: number, most: number): number | undefined {
  const amount = readAmount(text);
  if (amount === undefined || amount.unit !== '' || readMetres(least, most)(text) !== undefined) return undefined;
  return readMetres(least, most)(`${text.trim()} cm`);
}
export const writeMetres = (metres: number): string => `${metres} m`;

export const readHertz = (least: number, most: number) =>
  reader(['hz', 'hertz', '/s', 'a second', 'per second', 'times a second'], least, most);
export const readPlace = (least: number, most: number) => (text: string) => {
  const value = reader([], least, most)(text);
  return value !== undefined && Number.isInteger(value) ? value : undefined;
};

const sharesInWords: Readonly<Record<string, number>> = { full: 1, half: 0.5, off: 0 };

/** A share of one as calculators write it: `0.6`, `.6`, `1,0`. */
const ofOne = /^(?:0?[.,]\d+|1[.,]0+)$/;

/** `50`, `50 %`, `1/2`, `0.6`, `full`: a bare number is per cent, a fraction or a decimal of one a share. @returns 0..1 */
export function readShare(text: string): number | undefined {
  const word = sharesInWords[text.trim().toLowerCase()];
  if (word !== undefined) return word;
  const amount = readAmount(text);
  if (amount === undefined || !['', '%', 'percent', 'per cent'].includes(amount.unit)) return undefined;
  const isShare = amount.unit === '' && (amount.isFraction || ofOne.test(text.trim()));
  const share = isShare ? amount.value : amount.value / 100;
  return share >= 0 && share <= 1 ? tidy(share) : undefined;
}

/** How bright one lamp is beside another: `50 %`, `120`, `0.5` where that makes no sense as per cent. @returns 0.05..20 */
export function readStrength(text: string): number | undefined {
  const amount = readAmount(text);
  if (amount === undefined || !['', '%', 'percent', 'per cent'].includes(amount.unit)) return undefined;
  const { value, unit, isFraction } = amount;
  const isDecimal = unit === '' && !isFraction && !Number.isInteger(value);
  const shares = unit === '' && isFraction ? [value] : [value / 100, ...(isDecimal ? [value] : [])];
  const found = shares.find((share) => share >= 0.05 && share <= 20);
  return found === undefined ? undefined : tidy(found);
}

const minutes = ['m', 'min', 'mins', 'minute', 'minutes'];
const seconds = ['', 's', 'sec', 'secs', 'second', 'seconds'];
const inSeconds: Readonly<Record<string, number>> = {
  ms: 0.001,
  ...Object.fromEntries([...seconds.map((unit) => [unit, 1]), ...minutes.map((unit) => [unit, 60])]),
};

/** `2`, `2,5 s`, `1/2 s`, `500 ms`, `1 min`. */
export function readSecondsWithin(text: string, least: number, most: number): number | undefined {
  const amount = readAmount(text);
  if (amount === undefined) return undefined;
  const factor = inSeconds[amount.unit];
  if (factor === undefined) return undefined;
  const value = tidy(amount.value * factor);
  return value >= least && value <= most ? value : undefined;
}

export type Stretch = { readonly seconds: number } | { readonly beats: number };
/** As short and as long as the document has them. */
const SHORTEST = { beats: 0.0625, seconds: 0.02 };
const LONGEST = { beats: 256, seconds: 3600 };

/** Beats of a bar, where nothing else is said: most of what is danced to counts four. Common practice, no source. */
const OF_A_BAR = 4;

/** A stretch of time in the unit that is counted in: `1/2`, `1/2 beat`, `2 beats`, `1 bar`; or as seconds are written. */
export function readStretch(text: string, inBeats: boolean): Stretch | undefined {
  if (!inBeats) {
    const found = readSecondsWithin(text, SHORTEST.seconds, LONGEST.seconds);
    return found === undefined ? undefined : { seconds: found };
  }
  const bars = reader(['bar', 'bars'], SHORTEST.beats, LONGEST.beats / OF_A_BAR)(text);
  if (bars !== undefined && /bar/i.test(text)) return { beats: bars * OF_A_BAR };
  const found = reader(['b', 'beat', 'beats'], SHORTEST.beats, LONGEST.beats)(text);
  return found === undefined ? undefined : { beats: found };
}

/** The same stretch counted the other way, at so many beats a minute; kept within what a document may have. */
export function countedIn(stretch: Stretch, inBeats: boolean, bpm: number): Stretch {
  if ('beats' in stretch === inBeats) return stretch;
  const within = (value: number, least: number, most: number) => tidy(Math.min(most, Math.max(least, value)));
  return 'beats' in stretch
    ? { seconds: within((stretch.beats * 60) / bpm, SHORTEST.seconds, LONGEST.seconds) }
    : { beats: within((stretch.seconds * bpm) / 60, SHORTEST.beats, LONGEST.beats) };
}

/** The stretch that a hand pulls to: whole quarters of a beat, tenths of a second, never out of bounds. */
export function pulledTo(length: number, inBeats: boolean): Stretch {
  return inBeats
    ? { beats: Math.min(LONGEST.beats, Math.max(0.25, Math.round(length * 4) / 4)) }
    : { seconds: Math.min(LONGEST.seconds, Math.max(0.1, Math.round(length * 10) / 10)) };
}

export const lengthOf = (stretch: Stretch): number => ('beats' in stretch ? stretch.beats : stretch.seconds);

const fractions: Readonly<Record<string, string>> = { 0.25: '1/4', 0.5: '1/2', 0.75: '3/4', 0.125: '1/8', 0.0625: '1/16' };
/** `1/2 beat`, `2 beats`, `3.5 s`. */
export function writeStretch(stretch: Stretch): string {
  if ('seconds' in stretch) return `${tidy(stretch.seconds)} s`;
  const { beats } = stretch;
  return `${fractions[beats] ?? tidy(beats)} ${beats > 1 ? 'beats' : 'beat'}`;
}
export const writeShare = (share: number): string => `${tidy(share * 100)} %`;
/** To a whole per cent; to a tenth where just that was written: `12.5 %`, but `76 %` for 0.7607. */
export const writeLevel = (level: number): string =>
  writeShare(Number.isInteger(tidy(level * 1000)) ? level : Math.round(level * 100) / 100);
export const writeDegrees = (value: number): string => `${tidy(value)}°`.replace('-', '−');
export const writeHertz = (value: number): string => `${tidy(value)} Hz`;

/** `9:30 pm`, `21:30`, `21.30`, `9 pm`, `21h30`, `noon`, `midnight`. @returns `21:30` */
export function readTimeOfDay(text: string): string | undefined {
  const asked = text.trim().toLowerCase();
  if (asked === 'noon') return '12:00';
  if (asked === 'midnight') return '00:00';
  const found = /^(\d{1,2})(?:\s*[:.h]\s*(\d{2}))?\s*(?:(a|p)\.?\s*m\.?|h|o['’]clock|uhr)?$/.exec(asked);
  if (found === null) return undefined;
  const [, hours = '', past = '00', half] = found;
  // A number alone may be an hour or anything else: it needs minutes, or a word.
  if (/^\d+$/.test(asked)) return undefined;
  const hour = Number(hours);
  if (half !== undefined && (hour < 1 || hour > 12)) return undefined;
  const whole = half === undefined ? hour : (hour % 12) + (half === 'p' ? 12 : 0);
  return whole < 24 && Number(past) < 60 ? `${String(whole).padStart(2, '0')}:${past}` : undefined;
}
