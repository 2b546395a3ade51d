import { type EmitterName, isEmitter } from '../../core/attributes.ts';
import type { Measured } from '../../light/colour-matching.ts';
import { type RawEmitter, strengthsOf } from '../../light/strengths.ts';
import type { FixtureTypeInput } from '../fixture-type.ts';
import { attributeOf } from './attribute.ts';
import type { RawChannel } from './channels.ts';
import type { Notes } from './notes.ts';
import { cie, float } from './values.ts';
import { attr, childrenOf, type Element, find } from './xml.ts';

/** Points of a spectrum: a nanometre apart over all that is seen, and then some. */
const MOST_POINTS = 1000;

/** Emitters that channels link to, with their chromaticity and their strength in the unit that it is told in. */
export function emittersOf(
  fixtureType: Element,
  channels: readonly RawChannel[],
  notes: Notes,
): Pick<FixtureTypeInput, 'emitters' | 'strengths'> {
  const inFile = new Map(
    childrenOf(find(fixtureType, 'PhysicalDescriptions', 'Emitters'), 'Emitter').map((one) => [attr(one, 'Name') ?? '', one]),
  );
  const rows = [...linksOf(channels, notes)].flatMap(([attribute, name]): RawEmitter[] => {
    const element = inFile.get(name);
    if (element === undefined) notes.add(`There is no emitter "${name}"; the nominal light of ${attribute} is taken`);
    return element === undefined ? [] : [rawEmitter(attribute, name, element)];
  });
  if (rows.length === 0) return {};
  const { emitters, unit, said } = strengthsOf(rows);
  for (const one of said) notes.add(one);
  return {
    emitters: Object.fromEntries(Object.entries(emitters).map(([name, one]) => [name, { ...one, flux: Math.min(one.flux, 1e6) }])),
    ...(unit !== 'share' && { strengths: unit }),
  };
}

function rawEmitter(name: EmitterName, label: string, element: Element): RawEmitter {
  const colour = cie(attr(element, 'Color'));
  const measurement = atFull(element);
  const spectrum = childrenOf(measurement, 'MeasurementPoint')
    .slice(0, MOST_POINTS)
    .flatMap((one): Measured[] => {
      const [nm, energy] = [float(attr(one, 'WaveLength')), float(attr(one, 'Energy'))];
      return nm === undefined || energy === undefined ? [] : [{ nm, energy }];
    });
  return {
    name,
    label,
    colour: colour === undefined ? undefined : [colour.x, colour.y, colour.Y],
    candela: float(attr(measurement, 'LuminousIntensity')),
    spectrum: spectrum.length > 1 ? spectrum : undefined,
  };
}

/** The measurement at the highest level. */
const atFull = (emitter: Element): Element | undefined =>
  [...childrenOf(emitter, 'Measurement')]
    .sort((a, b) => (float(attr(a, 'Physical')) ?? 0) - (float(attr(b, 'Physical')) ?? 0))
    .at(-1);

/** Which emitter of the file is behind an attribute of ours: the first that a function links to. */
function linksOf(channels: readonly RawChannel[], notes: Notes): ReadonlyMap<EmitterName, string> {
  const links = new Map<EmitterName, string>();
  for (const { functions } of channels)
    for (const one of functions) {
      const link = attr(one.element, 'Emitter');
      const attribute = attributeOf(one.attribute);
      if (link === undefined || !isEmitter(attribute)) continue;
      const known = links.get(attribute) ?? link;
      links.set(attribute, known);
      if (known !== link) notes.add(`Two emitters, "${known}" and "${link}", are ${attribute}; the first one's light is taken`);
    }
  return links;
}
