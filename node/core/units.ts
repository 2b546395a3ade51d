/**
 * Units as types. A plain number may become any of them, but one may not be handed over where another is wanted:
 * passing `Seconds` for `Millis` is a compile error. Conversions stand here and nowhere else.
 */
declare const unit: unique symbol;
type Unit<Name extends string> = number & { readonly [unit]?: Name };

/** Milliseconds: a span, or an instant by one of the two clocks of {@link Clock}; by its `now()` unless it says otherwise. */
export type Millis = Unit<'Millis'>;
export type Seconds = Unit<'Seconds'>;
/** Musical beats, counted from the tempo's own origin. */
export type Beats = Unit<'Beats'>;
export type Hertz = Unit<'Hertz'>;
/** Share of full, 0..1. */
export type Level = Unit<'Level'>;
/** One DMX slot, 0..255. */
export type Byte = Unit<'Byte'>;
/** Universe as in ANSI E1.31, from 1 (E1.31-2018 section 9.1.1: 1..63999 for data). */
export type Universe = Unit<'Universe'>;
/** Art-Net's 15-bit universe number, 0..32767 (Net, Sub-Net and Universe together). */
export type PortAddress = Unit<'PortAddress'>;

export const MILLIS_PER_SECOND = 1000;
export const toMillis = (seconds: Seconds): Millis => seconds * MILLIS_PER_SECOND;
export const clampLevel = (x: number): Level => Math.min(1, Math.max(0, x));
