import type { Notes } from './notes.ts';
import type { Element } from './xml.ts';

/** What is read of each element, by its attributes; elements that are not here are left out with all that is in them. */
const read: Readonly<Record<string, readonly string[]>> = {
  FixtureType: ['Name', 'LongName', 'ShortName', 'Manufacturer', 'FixtureTypeID', 'CanHaveChildren'],
  Wheels: [],
  Wheel: ['Name'],
  Slot: ['Name', 'Color', 'Filter', 'MediaFileName'],
  Facet: [],
  PhysicalDescriptions: [],
  Emitters: [],
  Filters: [],
  Filter: ['Name', 'Color'],
  Emitter: ['Name', 'Color'],
  Measurement: ['Physical', 'LuminousIntensity'],
  MeasurementPoint: ['WaveLength', 'Energy'],
  DMXProfiles: [],
  DMXProfile: ['Name'],
  Point: ['DMXPercentage', 'CFC0', 'CFC1', 'CFC2', 'CFC3'],
  Properties: [],
  Weight: ['Value'],
  PowerConsumption: ['Value', 'PowerFactor'],
  Geometries: [],
  Geometry: ['Name', 'Position'],
  Axis: ['Name', 'Position'],
  Beam: [
    ...['Name', 'Position', 'BeamType', 'BeamAngle', 'FieldAngle', 'BeamRadius', 'LuminousFlux', 'ColorTemperature'],
    ...['PowerConsumption', 'LampType', 'ColorRenderingIndex', 'RectangleRatio', 'ThrowRatio'],
  ],
  Laser: [
    ...['Name', 'Position', 'ColorType', 'Color', 'OutputStrength', 'BeamDiameter', 'BeamDivergenceMin'],
    ...['ScanAnglePan', 'ScanAngleTilt'],
  ],
  GeometryReference: ['Name', 'Position', 'Geometry'],
  Break: ['DMXBreak', 'DMXOffset'],
  WiringObject: ['Name', 'ComponentType', 'ElectricalPayLoad', 'CosPhi'],
  DMXModes: [],
  DMXMode: ['Name', 'Geometry'],
  DMXChannels: [],
  DMXChannel: ['DMXBreak', 'Offset', 'InitialFunction', 'Geometry', 'Default'],
  LogicalChannel: ['Attribute'],
  ChannelFunction: [
    ...[
      'Name',
      'Attribute',
      'DMXFrom',
      'Default',
      'PhysicalFrom',
      'PhysicalTo',
      'RealFade',
      'RealAcceleration',
      'Wheel',
      'Emitter',
    ],
    ...['ModeMaster', 'ModeFrom', 'ModeTo', 'DMXProfile', 'Min', 'Max'],
  ],
  ChannelSet: ['Name', 'DMXFrom', 'PhysicalFrom', 'PhysicalTo', 'WheelSlotIndex'],
  // Relations and virtual channels are spoken of one by one.
  Relations: [],
  Relation: ['Name', 'Master', 'Follower', 'Slave', 'Type'],
};

/** Geometries of a lamp's mechanics are kept by name and place. */
const geometries = [
  ...['FilterBeam', 'FilterColor', 'FilterGobo', 'FilterShaper', 'MediaServerLayer', 'MediaServerCamera', 'MediaServerMaster'],
  ...['Display', 'Structure', 'Support', 'Magnet'],
];

const known = new Map([...Object.entries(read), ...geometries.map((name) => [name, ['Name', 'Position']] as const)]);

/** The dictionary of the file, which every attribute of its channels is looked up in by name, and what it says of its own making. */
const unspoken = new Set(['AttributeDefinitions', 'Revisions']);

/** Values that say no more than leaving the attribute out. */
const isSilent = (value: string): boolean => /^(|none|no|off|0([.,]0*)?(\/\d)?)$/i.test(value.trim());

/** What of a file is in no way used, by its own names: elements with how many there are, and attributes of those that are used. */
export function noteLeftOut(fixtureType: Element, notes: Notes): void {
  const elements = new Map<string, number>();
  const attributes = new Map<string, Map<string, number>>();
  const count = (name: string, more: number): void => {
    elements.set(name, (elements.get(name) ?? 0) + more);
  };
  const look = (element: Element): void => {
    const used = known.get(element.name);
    if (used === undefined) {
      // Of a list what is in it.
      count(element.name, Math.max(1, element.children.length));
      return;
    }
    for (const [name, value] of Object.entries(element.attributes)) {
      if (used.includes(name) || isSilent(value)) continue;
      const own = attributes.get(element.name) ?? new Map<string, number>();
      attributes.set(element.name, own);
      own.set(name, (own.get(name) ?? 0) + 1);
    }
    for (const child of element.children) {
      if (element.name === 'Filter') count(`${child.name} of Filter`, 1);
      else look(child);
    }
  };
  look({ ...fixtureType, children: fixtureType.children.filter(({ name }) => !unspoken.has(name)) });
  const counted = (found: ReadonlyMap<string, number>): string =>
    [...found].map(([name, count]) => (count === 1 ? name : `${name} (${count})`)).join(', ');
  if (elements.size > 0) notes.add(`Not used: ${counted(elements)}`);
  for (const [element, found] of attributes) notes.add(`Not used of ${element}: ${counted(found)}`);
}
