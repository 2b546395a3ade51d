import type { AttributeName } from '../../../../node/core/attributes.ts';

/** What a channel may do, in the words of a maker's table, and in groups. What follows from colour or an aim is no channel's job. */
export const attributeGroups = [
  {
    name: 'Light',
    jobs: {
      Dimmer: 'Dimmer',
      Shutter1: 'Shutter',
      Shutter1Strobe: 'Strobe',
    },
  },
  {
    name: 'Colour',
    jobs: {
      ColorAdd_R: 'Red',
      ColorAdd_G: 'Green',
      ColorAdd_B: 'Blue',
      ColorAdd_W: 'White',
      ColorAdd_WW: 'Warm white',
      ColorAdd_CW: 'Cold white',
      ColorAdd_RY: 'Amber',
      ColorAdd_GY: 'Lime',
      ColorAdd_C: 'Cyan',
      ColorAdd_M: 'Magenta',
      ColorAdd_Y: 'Yellow',
      ColorAdd_GC: 'Sea green',
      ColorAdd_BC: 'Light blue',
      ColorAdd_BM: 'Purple',
      ColorAdd_RM: 'Pink',
      ColorAdd_UV: 'UV',
      Color1: 'Colour wheel',
      Color2: 'Second colour wheel',
      ColorSub_C: 'Cyan filter',
      ColorSub_M: 'Magenta filter',
      ColorSub_Y: 'Yellow filter',
      CTO: 'Warm filter',
    },
  },
  { name: 'Movement', jobs: { Pan: 'Pan', Tilt: 'Tilt', PanRotate: 'Turning without end' } },
  {
    name: 'Beam',
    jobs: {
      Zoom: 'Zoom',
      Focus1: 'Focus',
      Iris: 'Iris',
      Frost1: 'Frost',
      Gobo1: 'Gobo wheel',
      Gobo1PosRotate: 'Gobo turning',
      Gobo2: 'Second gobo wheel',
      Prism1: 'Prism',
      Prism1PosRotate: 'Prism turning',
    },
  },
  {
    name: 'Other',
    jobs: {
      Haze1: 'Haze',
      Fog1: 'Fog',
      Fan1: 'Fan',
      NoFeature: 'Nothing that is used',
    },
  },
] as const satisfies readonly { readonly name: string; readonly jobs: Readonly<Partial<Record<AttributeName, string>>> }[];

const names = Object.assign({}, ...attributeGroups.map(({ jobs }) => jobs)) as Readonly<Partial<Record<AttributeName, string>>>;

export const nameOfAttribute = (name: AttributeName): string => names[name] ?? name;

/** The groups as a list to choose from. */
export const attributeOptions = attributeGroups.map(({ name, jobs }) => ({
  name,
  options: Object.entries(jobs).map(([value, label]) => ({ value, name: label })),
}));
