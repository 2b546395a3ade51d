import type { AttributeName } from '../core/attributes.ts';
import type { FixtureType } from '../rig/fixture-type.ts';
import type { Show } from './document.ts';

type Use = Show['fixtures'][number]['use'];

/** What people call a kind of lamp, whatever its maker calls it; the first is said, all of them are found. */
export interface LampKind {
  readonly words: readonly [string, ...string[]];
  /** What such a lamp is mostly hung for (common practice, no source). */
  readonly use: Use;
}

const kinds = {
  laser: { words: ['laser'], use: 'laser' },
  haze: { words: ['hazer', 'haze machine'], use: 'haze' },
  fog: { words: ['fog machine', 'smoke machine', 'smoke'], use: 'haze' },
  head: { words: ['moving head', 'moving light'], use: 'beam' },
  wash: { words: ['moving head wash', 'moving light'], use: 'dance wash' },
  spot: { words: ['moving head spot', 'moving light'], use: 'spot' },
  scanner: { words: ['scanner', 'mirror', 'moving light'], use: 'spot' },
  uplight: { words: ['uplight', 'uplighter', 'par'], use: 'uplight' },
  par: { words: ['par', 'par can', 'flood', 'wash light'], use: 'uplight' },
  pin: { words: ['pin spot', 'pinspot'], use: 'centrepiece' },
  bar: { words: ['bar', 'batten', 'strip of cells'], use: 'dance wash' },
  tube: { words: ['tube', 'pixel tube'], use: 'totem' },
  uv: { words: ['uv', 'black light', 'ultraviolet'], use: 'dance wash' },
  blinder: { words: ['blinder', 'audience blinder'], use: 'blinder' },
  strobe: { words: ['strobe', 'stroboscope'], use: 'blinder' },
  effect: { words: ['effect', 'derby', 'disco effect'], use: 'beam' },
  texture: { words: ['projector', 'gobo projector', 'pattern'], use: 'texture' },
  motor: { words: ['motor'], use: 'centrepiece' },
  dimmer: { words: ['dimmer', 'white lamp', 'festoon'], use: 'uplight' },
} as const satisfies Record<string, LampKind>;

/** Words in a name that say more than the channels do. The first that is there counts. */
const named: readonly (readonly [RegExp, keyof typeof kinds])[] = [
  [/\blaser\b/i, 'laser'],
  [/\buplight/i, 'uplight'],
  [/\bpin ?spot/i, 'pin'],
  [/\bscanner\b/i, 'scanner'],
  [/\bblinder\b/i, 'blinder'],
  [/\btube\b/i, 'tube'],
  [/\b(bar|batten)\b/i, 'bar'],
  [/\bmotor\b/i, 'motor'],
  [/\b(derby|turning-lens)\b/i, 'effect'],
  [/\b(projector|water effect)\b/i, 'texture'],
  [/\bpar\b/i, 'par'],
  [/\bstrobe\b/i, 'strobe'],
];

/** What kind of lamp a type is: by what its channels do, by its name where that says more. */
export function lampKindOf({ name, kind, modes, beam }: Pick<FixtureType, 'name' | 'kind' | 'modes' | 'beam'>): LampKind {
  const has = new Set<AttributeName>(
    modes.flatMap(({ channels }) => channels.flatMap(({ functions }) => functions.map(({ attribute }) => attribute))),
  );
  const byName = named.find(([words]) => words.test(name))?.[1];
  if (kind === 'laser' || byName === 'laser') return kinds.laser;
  if (has.has('Haze1')) return kinds.haze;
  if (has.has('Fog1')) return kinds.fog;
  if (has.has('Pan') && has.has('Tilt') && byName !== 'scanner') {
    if (has.has('Gobo1') && (beam === undefined || beam.angle > 8)) return kinds.spot;
    return (beam?.angle ?? 0) > 8 ? kinds.wash : kinds.head;
  }
  if (byName !== undefined) return kinds[byName];
  const emitters = [...has].filter((one) => one.startsWith('ColorAdd_'));
  if (emitters.length === 1 && has.has('ColorAdd_UV')) return kinds.uv;
  const cells = Math.max(...modes.flatMap(({ channels }) => channels.map(({ part = 1 }) => part)));
  if (emitters.length > 0) return cells > 1 ? kinds.bar : kinds.par;
  return has.has('Gobo1') ? kinds.texture : kinds.dimmer;
}
