import type { FixtureTypeInput } from '../fixture-type.ts';
import type { Notes } from './notes.ts';
import { float } from './values.ts';
import { attr, type Element, find } from './xml.ts';

type Piece = NonNullable<FixtureTypeInput['geometry']>[number];

const MOST = 2000;
const LONGEST = 120;
/** Table 41. */
const BEAM_ANGLE = 25;

/** Elements below a geometry that are none themselves. */
const apart = new Set(['Break', 'Protocol', 'PinPatch', 'PowerSource', 'LaserProtocol']);
/** What is wired or bought, and lights nothing. */
const unseen = new Set(['WiringObject', 'Inventory']);

/** The body of a lamp, piece by piece, each behind the one that it hangs on. */
export function keptGeometry(fixtureType: Element, notes: Notes): Piece[] {
  const pieces: Piece[] = [];
  let more = 0;
  const add = (element: Element, on: number | undefined): void => {
    if (apart.has(element.name) || unseen.has(element.name)) return;
    if (pieces.length >= MOST) {
      more++;
      return;
    }
    const place = pieces.push({ ...pieceOf(element, notes), ...(on !== undefined && { on }) }) - 1;
    for (const child of element.children) add(child, place);
  };
  for (const top of find(fixtureType, 'Geometries')?.children ?? []) add(top, undefined);
  if (more > 0) notes.add(`Of the geometries the first ${MOST} are kept, ${more} and what hangs on them are not`);
  return pieces;
}

export const geometryName = (text: string | undefined): string | undefined => text?.slice(0, LONGEST);

const kinds: Readonly<Record<string, Piece['kind']>> = {
  Geometry: 'body',
  Axis: 'axis',
  Beam: 'beam',
  Laser: 'laser',
  GeometryReference: 'copy',
};

function pieceOf(element: Element, notes: Notes): Piece {
  const name = geometryName(attr(element, 'Name')) ?? '';
  const kind = kinds[element.name] ?? 'other';
  const of = kind === 'copy' ? geometryName(attr(element, 'Geometry')) : undefined;
  const position = positionOf(element, name, notes);
  return {
    name,
    kind,
    ...(of !== undefined && { of }),
    ...(position !== undefined && { position }),
    ...(kind === 'beam' && { beam: beamIn(element) }),
    ...(kind === 'laser' && { laser: laserIn(element) }),
  };
}

const IDENTITY = [1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0];

/** Table 1: four rows of four numbers, the rotation in the first three columns and the offset in the fourth; the last row says nothing. */
function positionOf(element: Element, name: string, notes: Notes): number[] | undefined {
  const text = attr(element, 'Position');
  if (text === undefined) return undefined;
  const rows = (text.slice(0, 1000).match(/\{[^{}]*\}/g) ?? []).map((row) =>
    row
      .slice(1, -1)
      .split(',')
      .map((one) => float(one.trim())),
  );
  const numbers = rows.slice(0, 3).flat();
  const isMatrix =
    (rows.length === 4 || rows.length === 3) &&
    rows.every((row) => row.length === 4) &&
    numbers.every((one) => one !== undefined && Math.abs(one) <= 1e6);
  if (!isMatrix) {
    notes.add(`The position of geometry "${name}" cannot be read; it is taken to sit where it hangs`);
    return undefined;
  }
  return numbers.every((one, i) => one === IDENTITY[i]) ? undefined : (numbers as number[]);
}

const positive = (value: number | undefined): number | undefined => (value !== undefined && value > 0 ? value : undefined);

/** Numbers of an element by our names for them, as far as it has them. */
function numbersIn<Key extends string>(element: Element, names: Readonly<Record<Key, string>>): Partial<Record<Key, number>> {
  const found: Partial<Record<Key, number>> = {};
  for (const key of Object.keys(names) as Key[]) {
    const value = positive(float(attr(element, names[key])));
    if (value !== undefined) found[key] = value;
  }
  return found;
}

function beamIn(element: Element): Piece['beam'] {
  const { angle = BEAM_ANGLE, field = Math.max(BEAM_ANGLE, angle) } = numbersIn(element, {
    angle: 'BeamAngle',
    field: 'FieldAngle',
  });
  const source = attr(element, 'LampType')?.slice(0, 40);
  return {
    type: beamTypes.find((one) => one === attr(element, 'BeamType')?.toLowerCase()) ?? 'wash',
    angle: Math.min(360, angle),
    field: Math.min(360, Math.max(field, angle)),
    ...numbersIn(element, {
      radius: 'BeamRadius',
      flux: 'LuminousFlux',
      temperature: 'ColorTemperature',
      powerW: 'PowerConsumption',
      colourRendering: 'ColorRenderingIndex',
      ratio: 'RectangleRatio',
      throwRatio: 'ThrowRatio',
    }),
    ...(source !== undefined && { source }),
  };
}

const beamTypes = ['wash', 'spot', 'none', 'rectangle', 'pc', 'fresnel', 'glow'] as const;

function laserIn(element: Element): Piece['laser'] {
  const { wavelength, ...rest } = numbersIn(element, {
    wavelength: 'Color',
    outputW: 'OutputStrength',
    diameter: 'BeamDiameter',
    divergence: 'BeamDivergenceMin',
    scanPan: 'ScanAnglePan',
    scanTilt: 'ScanAngleTilt',
  });
  const isOneColour = attr(element, 'ColorType') === 'SingleWaveLength';
  return { ...rest, ...(isOneColour && wavelength !== undefined && { wavelength }) };
}
