/**
 * The attribute table: everything that a look may say of a fixture and every job that a DMX channel may have.
 * Names are GDTF's own (DIN SPEC 15800:2022-02, annexes A and B) but for the three colour coordinates, which are ours.
 * A row is all there is to an attribute: types, schema and encoders are derived from it.
 */
interface AttributeRow {
  /** Unit of the value in a frame. */
  readonly unit: 'level' | 'degrees' | 'hertz' | 'slot' | 'oklab';
  /** Value when nothing names the attribute and the fixture's mode gives no default. */
  readonly rest: number;
  /** `fade` values pass through everything between; `snap` values change half way. */
  readonly change: 'fade' | 'snap';
  /** Value that a blackout forces, or `keep`: what moves stays where it is, so that nothing swings in the dark. */
  readonly atBlackout: number | 'keep';
  /** Masters scale it: it is the amount of light that leaves the fixture. */
  readonly intensity?: true;
  /** A channel with this attribute is one emitter of a colour mixture; its levels follow from the colour. */
  readonly emitter?: true;
}

const level = { unit: 'level', rest: 0, change: 'fade', atBlackout: 'keep' } as const;
const emitter = { ...level, atBlackout: 0, emitter: true } as const;
const oklab = { unit: 'oklab', rest: 0, change: 'fade', atBlackout: 'keep' } as const;
const slot = { unit: 'slot', rest: 1, change: 'snap', atBlackout: 'keep' } as const;
const angle = { unit: 'degrees', rest: 0, change: 'fade', atBlackout: 'keep' } as const;

export const attributes = {
  Dimmer: { ...level, atBlackout: 0, intensity: true },
  // The wanted colour, in Oklab: fades between colours look even to the eye. Brightness is Dimmer's business.
  ColourL: { ...oklab, rest: 1 },
  ColourA: oklab,
  ColourB: oklab,
  ColorAdd_R: emitter,
  ColorAdd_G: emitter,
  ColorAdd_B: emitter,
  ColorAdd_W: emitter,
  ColorAdd_RY: emitter,
  // Never part of a colour: it gives next to no light that an eye could rate.
  ColorAdd_UV: { ...level, atBlackout: 0, intensity: true },
  Shutter1: { ...level, rest: 1, change: 'snap', atBlackout: 0 },
  Shutter1Strobe: { unit: 'hertz', rest: 0, change: 'snap', atBlackout: 0 },
  Pan: angle,
  Tilt: angle,
  PanRotate: { ...level, change: 'snap' },
  Zoom: angle,
  Focus1: level,
  Iris: { ...level, rest: 1 },
  Frost1: level,
  Color1: slot,
  Gobo1: slot,
  Gobo1PosRotate: level,
  Prism1: { ...slot, rest: 0 },
  Prism1PosRotate: level,
  Haze1: { ...level, atBlackout: 0 },
  Fan1: level,
  NoFeature: { ...level, change: 'snap' },
} as const satisfies Record<string, AttributeRow>;

export type AttributeName = keyof typeof attributes;
export const attributeNames = Object.keys(attributes) as [AttributeName, ...AttributeName[]];
export const attribute = (name: AttributeName): AttributeRow => attributes[name];
/** The three cells that together hold a fixture's colour, in the order in which they lie in a frame. */
export const colourCells = ['ColourL', 'ColourA', 'ColourB'] as const satisfies AttributeName[];
