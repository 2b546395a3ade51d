/** What `evenness.mjs` needs of the node, and what it gives. */
export interface EvennessRow {
  readonly what: string;
  readonly bits: number;
  /** L* from one half percent to the next. */
  readonly steps: readonly number[];
  readonly worst: number;
  /** The same above a level of 20 %. */
  readonly worstAbove: number;
  readonly least: number;
  readonly litFrom: number;
  /** How far L* is from the level at most. */
  readonly off: number;
  readonly shown: readonly number[];
}
export function evenness(parts: object): EvennessRow[];
