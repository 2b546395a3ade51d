import type { FixtureTypeInput } from '../fixture-type.ts';
import type { Notes } from './notes.ts';
import { float } from './values.ts';
import { attr, childrenOf, type Element, find } from './xml.ts';

/** Table 41 of GDTF, DIN SPEC 15800:2022-02. */
const BEAM_ANGLE = 25;

/** Angles of the first beam; lumens of all together; kelvin. Flux and colour temperature only where the file gives them. */
export function beamOf(beams: readonly Element[], notes: Notes): FixtureTypeInput['beam'] {
  const [first] = beams;
  if (first === undefined) return undefined;
  const within = (value: number | undefined, low: number, high: number): number | undefined =>
    value !== undefined && value >= low && value <= high ? value : undefined;
  const angle = within(float(attr(first, 'BeamAngle')), 0, 360) ?? BEAM_ANGLE;
  const field = within(float(attr(first, 'FieldAngle')), 0, 360) ?? Math.max(BEAM_ANGLE, angle);
  if (field < angle) notes.add(`The field of ${field} degrees is narrower than the beam of ${angle}; that of the beam is taken`);
  const flux = beams.reduce((sum, one) => sum + Math.max(0, float(attr(one, 'LuminousFlux')) ?? 0), 0);
  const temperature = within(float(attr(first, 'ColorTemperature')), 1000, 25000);
  return { angle, field: Math.max(field, angle), ...(flux > 0 && { flux }), ...(temperature !== undefined && { temperature }) };
}

/** Weight in kilograms, power in watts and its factor, where they are given and make sense. */
export function bodyOf(
  fixtureType: Element,
  consumers: readonly Element[],
  notes: Notes,
): Pick<FixtureTypeInput, 'weightKg' | 'powerW' | 'powerFactor'> {
  const properties = find(fixtureType, 'PhysicalDescriptions', 'Properties');
  const weight = float(attr(find(properties, 'Weight'), 'Value'));
  const wired = loadOf(consumers, 'ElectricalPayLoad', 'CosPhi');
  const { watts, factor } = wired.watts > 0 ? wired : loadOf(childrenOf(properties, 'PowerConsumption'), 'Value', 'PowerFactor');
  if (weight !== undefined && (weight < 0 || weight > 500)) notes.add(`A weight of ${weight} kg is not believed`);
  if (watts > 20000) notes.add(`A power of ${watts} W is not believed`);
  return {
    ...(weight !== undefined && weight > 0 && weight <= 500 && { weightKg: weight }),
    ...(watts > 0 && watts <= 20000 && { powerW: watts, ...(factor !== undefined && { powerFactor: factor }) }),
  };
}

/** Watts of all together, and those beside their volt-amperes where each tells its factor. */
function loadOf(
  loads: readonly Element[],
  power: string,
  phi: string,
): { readonly watts: number; readonly factor: number | undefined } {
  const all = loads
    .map((one) => ({ watts: float(attr(one, power)) ?? 0, factor: float(attr(one, phi)) ?? 0 }))
    .filter((one) => one.watts > 0);
  const watts = all.reduce((sum, one) => sum + one.watts, 0);
  const isTold = all.length > 0 && all.every(({ factor }) => factor > 0 && factor <= 1);
  return { watts, factor: isTold ? watts / all.reduce((sum, one) => sum + one.watts / one.factor, 0) : undefined };
}
