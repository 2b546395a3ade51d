import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { readDescription } from '../../../node/rig/gdtf/read.ts';
import { type Asked, givesItsSlots } from './foreign-slots.ts';

/** Wheels of which nobody has filled in the colours, made from the text of GDTF, DIN SPEC 15800:2022-02, alone, and their slots by hand. */
const ask = (colour: string) => ({ level: 1, colour });
const rows: readonly Asked[] = [
  { ask: {}, gives: { 1: 0, 2: [0, 19] } },
  { ask: ask('#ffffff'), gives: { 1: 255, 2: [0, 19] } },
  { ask: ask('#ff0000'), gives: { 1: 255, 2: [20, 39] } },
  { ask: ask('#00ff00'), gives: { 2: [60, 79] } },
  { ask: ask('#ff8000'), gives: { 2: [80, 99] } },
  { ask: ask('#0000ff'), gives: { 2: [100, 255] } },
  { ask: { level: 1, attributes: { Color1: 3 } }, gives: { 2: [40, 59] } },
];
const files = {
  // Table of wheel slots: a colour that is left out is white. Names then say more than colours that are white throughout.
  '61-filters-by-name': rows,
  '62-filters-all-alike': rows,
  // Without a wheel table 61 leaves the names of the sets; two halves of a filter are no colour.
  '63-filters-by-sets': rows.map((one) => (one.ask.colour === '#0000ff' ? { ...one, gives: { 2: [100, 119] } } : one)),
} satisfies Readonly<Record<string, readonly Asked[]>>;

givesItsSlots(files);

it.each(Object.keys(files))('the file %s is said to be read by its names', (file) => {
  const { source } = readDescription(readFileSync(new URL(`foreign/${file}.xml`, import.meta.url), 'utf8'));
  expect(source?.left).toContain('The filters of Color1 have no colours; typical ones of their names are taken');
});
