import { attribute, type EmitterName } from '../core/attributes.ts';
import { type Measured, xyzOf } from './colour-matching.ts';

/** What a file says of one emitter, as it stands there. */
export interface RawEmitter {
  readonly name: EmitterName;
  /** What the file calls it. */
  readonly label: string;
  /** CIE xyY, Y of any scale. */
  readonly colour?: readonly [x: number, y: number, Y: number] | undefined;
  /** Luminous intensity at full, candela. */
  readonly candela?: number | undefined;
  readonly spectrum?: readonly Measured[] | undefined;
}

/** In what the strengths of a lamp's emitters are told: luminous intensity, luminous flux, or a share of each other and nothing else. */
export const strengthUnits = ['candela', 'lumen', 'share'] as const;
export type StrengthUnit = (typeof strengthUnits)[number];

export interface Strengths {
  readonly emitters: Readonly<Partial<Record<EmitterName, { readonly x: number; readonly y: number; readonly flux: number }>>>;
  readonly unit: StrengthUnit;
  /** What was taken for what, in plain words. */
  readonly said: readonly string[];
}

/**
 * Colour and strength of a lamp's emitters from what a file says. Intensities come first, then the Y of colours, then spectra of a common scale.
 * A source is a placeholder where it says the same of every emitter, as files do that nobody has filled in, or nothing above 0: the next
 * one is taken, and last what is typical of emitters of that name (GDTF, DIN SPEC 15800:2022-02, annex B).
 */
export function strengthsOf(rows: readonly RawEmitter[]): Strengths {
  const said: string[] = [];
  const [source, values] = chosen(rows, said);
  const known = rows.filter((_, i) => isStrength(values[i]));
  // What is missing is as strong beside the others as it typically is.
  const scale = known.length === 0 ? 1 : sum(values) / sum(known.map(({ name }) => typical(name)[2]));
  const emitters: Record<string, { x: number; y: number; flux: number }> = {};
  for (const [i, row] of rows.entries()) {
    const [x, y] = chromaticity(row, said);
    const value = values[i];
    if (!isStrength(value) && known.length > 0)
      said.push(`"${row.label}" has no ${source.word}; its typical strength beside the others is taken`);
    emitters[row.name] = { x, y, flux: isStrength(value) ? value : typical(row.name)[2] * scale };
  }
  return { emitters, unit: known.length === 0 ? 'share' : source.unit, said };
}

const isStrength = (value: number | undefined): value is number => value !== undefined && Number.isFinite(value) && value > 0;
const sum = (values: readonly (number | undefined)[]): number => values.filter(isStrength).reduce((all, one) => all + one, 0);
const typical = (name: EmitterName): readonly [x: number, y: number, Y: number] => attribute(name).emitter ?? [1 / 3, 1 / 3, 1];

const sources = [
  { word: 'luminous intensity', unit: 'candela', of: ({ candela }: RawEmitter) => candela },
  { word: 'Y of its colour', unit: 'share', of: ({ colour }: RawEmitter) => colour?.[2] },
  { word: 'spectrum', unit: 'share', of: ({ spectrum }: RawEmitter) => (spectrum === undefined ? undefined : xyzOf(spectrum)[1]) },
] as const;
const none = { word: 'strength', unit: 'share', of: () => undefined } as const;

/** The first source that says something, with what it says of each emitter. */
function chosen(rows: readonly RawEmitter[], said: string[]) {
  const passed: string[] = [];
  for (const source of sources) {
    const values = rows.map(source.of);
    if (values.every((value) => value === undefined)) continue;
    const why = placeholder(rows, values, source.word);
    if (why === undefined) {
      if (passed.length > 0) said.push(`${passed.join(' and ')}; strengths are taken by ${source.word}`);
      return [source, values] as const;
    }
    passed.push(why);
  }
  if (rows.length > 1)
    said.push(
      `${passed.length > 0 ? passed.join(' and ') : 'No strengths are given'}; typical ones of emitters of these names are taken`,
    );
  return [none, rows.map(() => undefined)] as const;
}

/** Why a source says nothing; undefined where it does. */
function placeholder(rows: readonly RawEmitter[], values: readonly (number | undefined)[], word: string): string | undefined {
  const given = values.filter(isStrength);
  const [first] = given;
  if (first === undefined) return `No ${word} is above 0`;
  if (rows.length === 1) return first === 1 ? `The ${word} is 1, a placeholder` : undefined;
  const spectra = rows.flatMap(({ spectrum }) => spectrum ?? []);
  if (word === 'spectrum' && isEachToOne(rows) && spectra.length > 0)
    return 'Every spectrum is drawn to the same height, a placeholder';
  if (given.length > 1 && given.every((value) => Math.abs(value - first) <= 1e-6 * first))
    return `Every ${word} is ${Number(first.toPrecision(4))}, a placeholder`;
  return undefined;
}

/** Spectra that are each drawn to the same height tell nothing of how strong they are beside each other. */
function isEachToOne(rows: readonly RawEmitter[]): boolean {
  const peaks = rows.flatMap(({ spectrum = [] }) =>
    spectrum.length === 0 ? [] : [Math.max(...spectrum.map(({ energy }) => energy))],
  );
  return peaks.length > 1 && peaks.every((peak) => Math.abs(peak - (peaks[0] ?? 0)) <= 1e-3 * peak);
}

/** White, as the standard fills it in where nothing is told: no colour of an emitter that has a colour by its name. */
const WHITE = [0.3127, 0.329] as const;

function chromaticity({ name, label, colour, spectrum }: RawEmitter, said: string[]): readonly [x: number, y: number] {
  const [typicalX, typicalY] = typical(name);
  const isWhite = Math.hypot(typicalX - WHITE[0], typicalY - WHITE[1]) < 0.03;
  if (colour !== undefined && isChromaticity(colour[0], colour[1])) {
    const filledIn = Math.hypot(colour[0] - WHITE[0], colour[1] - WHITE[1]) < 1e-3;
    if (isWhite || !filledIn) return [colour[0], colour[1]];
  }
  if (spectrum !== undefined) {
    const [X, Y, Z] = xyzOf(spectrum);
    const [x, y] = [X / (X + Y + Z), Y / (X + Y + Z)];
    if (isChromaticity(x, y)) {
      said.push(`"${label}" has its colour from its spectrum`);
      return [x, y];
    }
  }
  said.push(`"${label}" has no colour; the typical one of ${name} is taken`);
  return [typicalX, typicalY];
}

const isChromaticity = (x: number, y: number): boolean => x >= 0 && y > 0 && x + y <= 1;
