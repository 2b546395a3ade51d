import type { AttributeName } from '../core/attributes.ts';
import { intensityOf } from './brightness.ts';
import type { ChannelFunction, FixtureType } from './fixture-type.ts';
import { library } from './library.ts';

/** What is known of a kind of lamp besides its channels, in words with units: `Weight`, `12 kg`. */
export interface TypeFact {
  readonly what: string;
  readonly value: string;
}

/** How it lights, moves and weighs, as its file says, or as is usual of its kind; what nobody has told is not there. */
export function factsOf(type: FixtureType): TypeFact[] {
  const { beam, weightKg, powerW, powerFactor, warmUp } = type;
  const facts: readonly (readonly [what: string, value: string | undefined])[] = [
    ['Beam', beam && `${number(beam.angle)}° at half, ${number(beam.field)}° at a tenth of the middle`],
    ['Zoom', axis(type, 'Zoom')],
    ['Light', lightOf(type)],
    ['In the middle', intensityIn(type)],
    ['Source', beam?.temperature === undefined ? undefined : `${number(beam.temperature)} K`],
    ['Pan', axis(type, 'Pan')],
    ['Tilt', axis(type, 'Tilt')],
    ['Strobe', strobe(type)],
    ['Prism', type.wheels.Prism1?.map(({ facets, name }) => (facets === undefined ? name : `${facets} facets`)).join(', ')],
    ['Warms up', warmUp === undefined ? undefined : `about ${number(warmUp)} minutes`],
    ['Power', powerW === undefined ? undefined : power(powerW, powerFactor)],
    ['Weight', weightKg === undefined ? undefined : `${number(weightKg)} kg`],
  ];
  const told = facts.flatMap(([what, value]) => (value === undefined || value === '' ? [] : [{ what, value }]));
  return told.length === 0 || !isOfLibrary(type) ? told : [...told, { what: 'All of these', value: 'usual of its kind' }];
}

/** Of no maker and no model: common practice, no source. */
const isOfLibrary = ({ id, source }: FixtureType): boolean => source === undefined && library.has(id);

const emitterSum = ({ emitters }: FixtureType): number => Object.values(emitters).reduce((sum, one) => sum + (one?.flux ?? 0), 0);

function lightOf(type: FixtureType): string | undefined {
  const { beam, strengths, typical } = type;
  if (beam?.flux !== undefined) return `${number(beam.flux)} lm`;
  if (strengths === 'lumen') return `${number(emitterSum(type))} lm with all emitters`;
  return typical?.flux && `${between(...typical.flux)} lm`;
}

function intensityIn(type: FixtureType): string | undefined {
  const { beam, strengths, typical } = type;
  if (strengths === 'candela') return `${number(emitterSum(type))} cd with all emitters`;
  const flux = beam?.flux ?? (strengths === 'lumen' ? emitterSum(type) : undefined);
  if (flux !== undefined && beam !== undefined && beam.angle > 0)
    return `about ${number(Number(intensityOf(flux, beam.angle).toPrecision(2)))} cd, by its lumens and its angle`;
  return typical && `${between(...typical.candela)} cd`;
}

/** Degrees of an axis in all modes, and how fast it turns. */
function axis(type: FixtureType, name: 'Pan' | 'Tilt' | 'Zoom'): string {
  const pace = name === 'Zoom' ? undefined : type.typical?.axes?.[name === 'Pan' ? 'pan' : 'tilt'];
  const rows = functionsOf(type, name).map(({ physical: [a, b], speed }) => {
    const range = `${between(Math.min(a, b), Math.max(a, b))}°`;
    const width = name === 'Zoom' ? range : `${number(Math.abs(b - a))}° (${range})`;
    const fastest = pace === undefined ? speed && `${number(speed)}` : between(...pace.speed);
    return fastest === undefined ? width : `${width}, up to ${fastest}° a second`;
  });
  return rows.length === 0 ? '' : [...new Set(rows)].join('; ');
}

const strobe = (type: FixtureType): string =>
  [
    ...new Set(functionsOf(type, 'Shutter1Strobe').map(({ physical: [a, b] }) => `${between(Math.min(a, b), Math.max(a, b))} Hz`)),
  ].join('; ');

const functionsOf = ({ modes }: FixtureType, name: AttributeName): ChannelFunction[] =>
  modes.flatMap(({ channels }) => channels.flatMap(({ functions }) => functions.filter(({ attribute }) => attribute === name)));

const power = (watts: number, factor: number | undefined): string =>
  factor === undefined ? `${number(watts)} W` : `${number(watts)} W, power factor ${number(factor)} (${number(watts / factor)} VA)`;

/** With a dash where both are positive, else in words: −40 to 40. */
const between = (least: number, most: number): string =>
  least < 0 ? `${number(least)} to ${number(most)}` : `${number(least)}–${number(most)}`;

/** To a tenth, or a hundredth where that is little; thousands apart, minus as a sign. */
function number(value: number): string {
  const rounded = Math.abs(value) < 1 ? Math.round(value * 100) / 100 : Math.round(value * 10) / 10;
  const [whole = '', rest] = Math.abs(rounded).toString().split('.');
  const apart = whole.length > 4 ? whole.replace(/\B(?=(\d{3})+$)/g, '\u00a0') : whole;
  return `${rounded < 0 ? '−' : ''}${apart}${rest === undefined ? '' : `.${rest}`}`;
}
