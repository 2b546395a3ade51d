import { describe, expect, it } from 'vitest';
import { parseColour } from '../../node/light/colour-value.ts';
import type { Part, Show } from '../../node/show/document.ts';
import { type DemoName, demoNames, demoShow, members } from './demo-show.ts';
import { flashes, mostInOneSecond, together } from './flash-count.ts';
import { SAMPLES_PER_SECOND, watch } from './lamp-light.ts';

/** WCAG 2.x, success criterion 2.3.1: not more than three flashes in any one-second period. */
const WCAG_FLASHES = 3;
/** Our own stricter number where most guests are of the age that is most easily hurt. */
const limit: Readonly<Record<DemoName, number>> = { 'barn-wedding': WCAG_FLASHES, 'winter-dance': 2, 'garden-party': WCAG_FLASHES };
/** The fastest tempo at which a flash a beat is still three a second. */
const FAST = 180;
const FRAME = 1 / SAMPLES_PER_SECOND;

const square = (hertz: number, low: number, high: number): number[] =>
  Array.from({ length: 5 * 240 }, (_, i) => (Math.floor((i / 240) * hertz * 2) % 2 === 0 ? high : low));
const count = (...lamps: number[][]): number => mostInOneSecond(together(lamps.map((one) => flashes(one, 1 / 240))));

describe('the flash counter', () => {
  it('finds as many flashes a second as a strobe has', () => {
    expect([1, 2, 3, 4, 10].map((hertz) => mostInOneSecond(flashes(square(hertz, 0, 1), 1 / 240)))).toEqual([1, 2, 3, 4, 10]);
  });

  it('adds up two lamps that take turns: two at 2 Hz out of phase are four a second', () => {
    const lamp = square(2, 0, 1);
    expect(count(lamp, lamp)).toBe(2);
    expect(count(lamp, lamp.slice(60))).toBe(4);
  });

  // WCAG 2.x: changes of 10 % or more, with the darker state below 0.80.
  it('passes over changes that are too small, and those between two bright states', () => {
    expect(count(square(4, 0.5, 0.59))).toBe(0);
    expect(count(square(4, 0.5, 0.6))).toBe(4);
    expect(count(square(4, 0.8, 1))).toBe(0);
    expect(count(square(4, 0.79, 1))).toBe(4);
  });

  it('sees a flash in a slow swell just as in a sudden one', () => {
    const wave = Array.from({ length: 5 * 240 }, (_, i) => 0.5 + 0.3 * Math.sin((2 * Math.PI * 3 * i) / 240));
    expect(count(wave)).toBe(3);
  });
});

/** The most flashes in any second that all lamps together show once the buttons are pressed. */
const flashesOf = (show: Show, buttons: readonly string[], bpm: number): number =>
  mostInOneSecond(together([...watch(show, buttons, bpm, 13).values()].map((one) => flashes(one, FRAME))));

const everyPart = (show: Show): Part[] => [
  ...[...show.looks, ...show.hits].flatMap(({ parts }) => parts),
  ...show.chases.flatMap(({ steps }) => steps.flatMap(({ parts }) => parts)),
];

/** Share of red in linear light. WCAG 2.2: a state of 0.8 and more makes a change a red flash. */
function redShare(show: Show, text: string): number {
  const named = text.startsWith('theme:') ? show.theme.colours.find(({ id }) => `theme:${id}` === text)?.value : text;
  const value = parseColour(named ?? '');
  if (value?.kind !== 'srgb') return 0;
  // IEC 61966-2-1.
  const linear = [value.red, value.green, value.blue].map((c) => (c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4));
  return (linear[0] ?? 0) / linear.reduce((sum, part) => sum + part, 1e-12);
}

describe.each(demoNames)('flashing in %s', (name) => {
  const show = demoShow(name);
  it.each(show.buttons)('stays within the limit at the tempo of the show and at 180: $name', ({ id }) => {
    for (const bpm of [show.tempo, FAST]) expect(flashesOf(show, [id], bpm)).toBeLessThanOrEqual(limit[name]);
  });

  it('stays within it with any button pressed on top of the dance floor', () => {
    for (const { id } of show.buttons) expect(flashesOf(show, ['dance-floor', id], FAST), id).toBeLessThanOrEqual(limit[name]);
  });

  it('flashes at all on the dance floor, or the measure would prove nothing', () => {
    expect(flashesOf(show, ['dance-floor'], FAST)).toBeGreaterThan(0);
  });

  it('strobes with all strobing lamps together within the limit, since they may run out of step', () => {
    for (const part of everyPart(show))
      expect((part.strobe ?? 0) * members(show, part.who).length).toBeLessThanOrEqual(WCAG_FLASHES);
  });

  it('lets nothing else flash while a strobe is held on the dance floor', () => {
    const strobes = show.hits.filter(({ parts }) => parts.some(({ strobe }) => strobe !== undefined && strobe > 0));
    for (const { id, longest } of strobes) {
      const button = show.buttons.find(({ starts }) => starts.some((ref) => 'hit' in ref && ref.hit === id));
      const light = watch(show, ['dance-floor', button?.id ?? ''], FAST, longest);
      // From the frame in which it is wholly on.
      const from = -longest * SAMPLES_PER_SECOND + 1;
      expect(together([...light.values()].map((one) => flashes(one.slice(from), FRAME)))).toEqual([]);
    }
  });

  it('changes between no saturated reds', () => {
    const moving = [
      ...show.hits.flatMap(({ parts }) => parts),
      ...show.chases.flatMap(({ steps }) => steps.flatMap(({ parts }) => parts)),
    ];
    for (const text of moving.flatMap(({ colour }) => [colour ?? []].flat())) expect(redShare(show, text)).toBeLessThan(0.8);
  });
});

describe('the measure of red', () => {
  it('knows red when it sees it', () => {
    expect(redShare(demoShow('barn-wedding'), '#ff0000')).toBeGreaterThan(0.8);
    expect(redShare(demoShow('barn-wedding'), '#ffffff')).toBeLessThan(0.4);
  });
});

describe('the school dance', () => {
  const show = demoShow('winter-dance');

  it('has no strobe and no haze', () => {
    expect(everyPart(show).filter(({ strobe, haze }) => (strobe ?? 0) > 0 || (haze ?? 0) > 0)).toEqual([]);
    expect(show.fixtures.filter(({ use }) => use === 'haze')).toEqual([]);
  });

  it('has no hit that snaps on, nor one that is long', () => {
    for (const { fade, longest } of show.hits) {
      expect(fade).toBeGreaterThanOrEqual(0.25);
      expect(longest).toBeLessThanOrEqual(3);
    }
  });
});
