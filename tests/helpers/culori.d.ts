/** What the tests use of culori 4, which has no types of its own. Parts of colours are 0..1; `lrgb` is linear sRGB. */
declare module 'culori' {
  interface Rgb {
    readonly mode: 'rgb' | 'lrgb';
    readonly r: number;
    readonly g: number;
    readonly b: number;
  }
  interface Oklab {
    readonly mode: 'oklab';
    readonly l: number;
    readonly a: number;
    readonly b: number;
  }
  interface Xyz {
    readonly mode: 'xyz65';
    readonly x: number;
    readonly y: number;
    readonly z: number;
  }
  interface Lab {
    readonly mode: 'lab65';
    readonly l: number;
    readonly a: number;
    readonly b: number;
  }
  type Colour = Rgb | Oklab | Xyz | Lab | string;
  export function converter(mode: 'oklab'): (colour: Colour) => Oklab;
  export function converter(mode: 'rgb' | 'lrgb'): (colour: Colour) => Rgb;
  export function converter(mode: 'lab65'): (colour: Colour) => Lab;
  export function differenceCiede2000(): (one: Colour, other: Colour) => number;
  export function converter(mode: 'xyz65'): (colour: Colour) => Xyz;
}
