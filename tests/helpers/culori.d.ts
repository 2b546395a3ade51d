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
  type Colour = Rgb | Oklab | Xyz | string;
  export function converter(mode: 'oklab'): (colour: Colour) => Oklab;
  export function converter(mode: 'rgb' | 'lrgb'): (colour: Colour) => Rgb;
  export function converter(mode: 'xyz65'): (colour: Colour) => Xyz;
}
