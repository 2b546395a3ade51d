/**
 * The attribute table: everything that a look may say of a fixture and every job that a DMX channel may have.
 * Names are GDTF's own (DIN SPEC 15800:2022-02, annexes A and B) but for {@link ourCells}.
 * A row is all there is to an attribute: types, schema and encoders are derived from it.
 */
interface AttributeRow {
  /** Unit of the value in a frame. */
  readonly unit: 'level' | 'degrees' | 'hertz' | 'slot' | 'oklab';
  /** Value when nothing names the attribute and the fixture's mode gives no default. */
  readonly rest: number;
  /** Least and most that a show may ask for, in that unit. Absent: no show names it; it follows from a colour. */
  readonly range?: readonly [least: number, most: number];
  /** `fade` values pass through everything between; `snap` values change half way. */
  readonly change: 'fade' | 'snap';
  /** Value that a blackout forces, or `keep`: what moves stays where it is, so that nothing swings in the dark. */
  readonly atBlackout: number | 'keep';
  /** May not go on once nobody is there to stop it, whoever asked for it: haze, strobing, what turns without end. */
  readonly needsPerson?: true;
  /** It takes colours out of the light on its way. */
  readonly tints?: true;
  /** It puts haze or fog into the air. */
  readonly hazes?: true;
  /** Masters scale it: it is the amount of light that leaves the fixture. */
  readonly intensity?: true;
  /**
   * A channel with this attribute is one emitter of a colour mixture. Its level follows from the colour while it is at rest, below 0; from
   * 0 on it is driven directly. Nominal light of it by GDTF annex B: CIE 1931 x, y and Y, taken for lamps that nobody has measured.
   */
  readonly emitter?: readonly [x: number, y: number, Y: number];
}

const share = { unit: 'level', rest: 0, change: 'fade', atBlackout: 'keep' } as const;
const level = { ...share, range: [0, 1] } as const;
// At a blackout it follows the colour, which the dimmer keeps dark: so colours stay where they are.
const emitter = <const Light extends readonly [number, number, number]>(light: Light) =>
  ({ ...share, rest: -1, change: 'snap', atBlackout: -1, emitter: light }) as const;
const oklab = { unit: 'oklab', rest: 0, change: 'fade', atBlackout: 'keep' } as const;
const slot = { unit: 'slot', rest: 1, range: [1, 64], change: 'snap', atBlackout: 'keep' } as const;
const angle = <const Range extends readonly [number, number]>(range: Range) =>
  ({ unit: 'degrees', rest: 0, range, change: 'fade', atBlackout: 'keep' }) as const;

export const attributes = {
  Dimmer: { ...level, atBlackout: 0, intensity: true },
  // The wanted colour, in Oklab: fades between colours look even to the eye. Brightness is Dimmer's business.
  ColourL: { ...oklab, rest: 1 },
  ColourA: oklab,
  ColourB: oklab,
  ColorAdd_R: emitter([0.64, 0.33, 21.3]),
  ColorAdd_G: emitter([0.3, 0.6, 71.5]),
  ColorAdd_B: emitter([0.15, 0.06, 7.2]),
  ColorAdd_C: emitter([0.225, 0.329, 78.7]),
  ColorAdd_M: emitter([0.321, 0.154, 28.5]),
  ColorAdd_Y: emitter([0.419, 0.505, 92.8]),
  ColorAdd_RY: emitter([0.477, 0.46, 57.0]),
  ColorAdd_GY: emitter([0.372, 0.543, 82.1]),
  ColorAdd_GC: emitter([0.25, 0.419, 75.1]),
  ColorAdd_BC: emitter([0.2, 0.239, 43.0]),
  ColorAdd_BM: emitter([0.254, 0.117, 17.9]),
  ColorAdd_RM: emitter([0.403, 0.2, 24.9]),
  ColorAdd_W: emitter([0.313, 0.329, 100]),
  ColorAdd_WW: emitter([0.319, 0.34, 99.3]),
  ColorAdd_CW: emitter([0.306, 0.329, 97.9]),
  // Never part of a colour: it gives next to no light that an eye could rate.
  ColorAdd_UV: { ...level, atBlackout: 0, intensity: true },
  Shutter1: { ...level, rest: 1, change: 'snap', atBlackout: 0 },
  Shutter1Strobe: { unit: 'hertz', rest: 0, range: [0, 25], change: 'snap', atBlackout: 0, needsPerson: true },
  Pan: angle([-540, 540]),
  Tilt: angle([-270, 270]),
  // Whether what aims a head means it to rest there, 0 or 1.
  AimRests: { ...share, change: 'snap' },
  PanRotate: { ...level, change: 'snap', needsPerson: true },
  Zoom: angle([0, 180]),
  Focus1: level,
  Iris: { ...level, rest: 1 },
  Frost1: level,
  // Filters in white light: nothing, the lamp's own colour, at rest.
  ColorSub_C: { ...level, tints: true },
  ColorSub_M: { ...level, tints: true },
  ColorSub_Y: { ...level, tints: true },
  CTO: { ...level, tints: true },
  Color1: slot,
  Color2: slot,
  Gobo1: slot,
  Gobo2: slot,
  Gobo1PosRotate: { ...level, needsPerson: true },
  Prism1: { ...slot, rest: 0, range: [0, 64] },
  Prism1PosRotate: { ...level, needsPerson: true },
  Haze1: { ...level, atBlackout: 0, needsPerson: true, hazes: true },
  Fog1: { ...level, atBlackout: 0, needsPerson: true, hazes: true },
  Fan1: level,
  NoFeature: { ...level, change: 'snap' },
} as const satisfies Record<string, AttributeRow>;

export type AttributeName = keyof typeof attributes;
export const attributeNames = Object.keys(attributes) as [AttributeName, ...AttributeName[]];
export const attribute = (name: AttributeName): AttributeRow => attributes[name];
/** What light is like, which nobody sees where there is none: its colour, and what filters and the slots of wheels make of it. */
export const tellsOfLight = (name: AttributeName): boolean =>
  ['oklab', 'slot'].includes(attribute(name).unit) || attribute(name).tints === true;
/**
 * The three cells that together hold a fixture's colour, in the order in which they lie in a frame. They are turned into what channels have.
 */
export const colourCells = ['ColourL', 'ColourA', 'ColourB'] as const satisfies AttributeName[];

/** What no channel of a lamp has for its job. */
export const ourCells: readonly AttributeName[] = [...colourCells, 'AimRests'];

type NamesWith<Field extends string> = {
  [Name in AttributeName]: (typeof attributes)[Name] extends Record<Field, unknown> ? Name : never;
}[AttributeName];
/** What a show may name. */
export type DirectName = NamesWith<'range'>;
export const directNames = attributeNames.filter((name): name is DirectName => attribute(name).range !== undefined);
export type EmitterName = NamesWith<'emitter'>;
export const isEmitter = (name: AttributeName): name is EmitterName => attribute(name).emitter !== undefined;
export const emitterNames = attributeNames.filter(isEmitter) as [EmitterName, ...EmitterName[]];
export const wheelNames = ['Color1', 'Color2', 'Gobo1', 'Gobo2', 'Prism1'] as const satisfies readonly AttributeName[];
