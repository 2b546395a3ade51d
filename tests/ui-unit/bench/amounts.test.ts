import { describe, expect, it } from 'vitest';
import {
  countedIn,
  metresOfCentimetres,
  pulledTo,
  readDegrees,
  readHertz,
  readPlace,
  readSecondsWithin,
  readShare,
  readStrength,
  readStretch,
  readTimeOfDay,
  writeDegrees,
  writeLevel,
  writeShare,
  writeStretch,
} from '../../../ui/src/bench/amounts.ts';

describe('Amounts are read as people write them', () => {
  it.each([
    ['3,5 s', 3.5],
    ['3.5', 3.5],
    ['1/2 s', 0.5],
    ['1 min', 60],
    ['1,5 minutes', 90],
    ['.5 sec', 0.5],
    ['500 ms', 0.5],
    ['2½ s', 2.5],
    ['soon', undefined],
    ['3 beats', undefined],
    ['-1', undefined],
    ['1/0', undefined],
    ['', undefined],
  ])('seconds: %j', (text, value) => expect(readSecondsWithin(text, 0, 3600)).toBe(value));

  it.each([
    ['1/2 beat', { beats: 0.5 }],
    ['1 1/2 beats', { beats: 1.5 }],
    ['4', { beats: 4 }],
    ['½', { beats: 0.5 }],
    ['1 bar', { beats: 4 }],
    ['1/2 bar', { beats: 2 }],
    ['100 bars', undefined],
    ['0,25', { beats: 0.25 }],
    ['2 s', undefined],
    ['0', undefined],
    ['1000', undefined],
  ])('beats: %j', (text, value) => expect(readStretch(text, true)).toEqual(value));

  it('a stretch in seconds is no beat', () => {
    expect(readStretch('3,5 s', false)).toEqual({ seconds: 3.5 });
    expect(readStretch('1 beat', false)).toBeUndefined();
  });

  it.each([
    ['50 %', 0.5],
    ['50', 0.5],
    ['1/2', 0.5],
    ['12,5%', 0.125],
    ['100 per cent', 1],
    ['101', undefined],
    ['150 %', undefined],
    ['full', 1],
    ['Half', 0.5],
    ['off', 0],
    // With a decimal point and no sign, 1 at most: a share of one.
    ['0.6', 0.6],
    ['0,6', 0.6],
    ['.05', 0.05],
    ['1.0', 1],
    ['1', 0.01],
    ['0.6 %', 0.006],
    ['1.5', 0.015],
  ])('shares: %j', (text, value) => expect(readShare(text)).toBe(value));

  it.each([
    ['12 deg', 12],
    ['12°', 12],
    ['−12,5 degrees', -12.5],
    ['-12', -12],
    ['91', undefined],
    ['12 m', undefined],
  ])('degrees: %j', (text, value) => expect(readDegrees(-90, 90)(text)).toBe(value));

  it.each([
    ['50 %', 0.5],
    ['120', 1.2],
    ['0.5', 0.5],
    ['1/2', 0.5],
    ['1,5', 1.5],
    ['12.5', 0.125],
    ['3', undefined],
    ['1.5 %', undefined],
    ['bright', undefined],
  ])('strengths: %j', (text, value) => expect(readStrength(text)).toBe(value));

  it.each([
    ['240', 2.4],
    ['75,5', 0.755],
    // It makes sense as it is, says its unit, or makes none either way.
    ['2,4', undefined],
    ['240 m', undefined],
    ['5001', undefined],
    ['high', undefined],
  ])('a bare number that is too large for metres may be centimetres: %j', (text, value) =>
    expect(metresOfCentimetres(text, 0, 50)).toBe(value),
  );

  it('hertz and places', () => {
    expect(readHertz(0, 25)('3 Hz')).toBe(3);
    expect(readHertz(0, 25)('2,5 a second')).toBe(2.5);
    expect(readHertz(0, 25)('30')).toBeUndefined();
    expect(readPlace(1, 8)('3')).toBe(3);
    expect(readPlace(1, 8)('3,5')).toBeUndefined();
  });

  it.each([
    ['9:30 pm', '21:30'],
    ['9:30PM', '21:30'],
    ['9 p.m.', '21:00'],
    ['12 am', '00:00'],
    ['12:15 pm', '12:15'],
    ['21:30', '21:30'],
    ['21.30', '21:30'],
    ['21h30', '21:30'],
    ['7:05', '07:05'],
    ['noon', '12:00'],
    ['midnight', '00:00'],
    ['13 pm', undefined],
    ['24:00', undefined],
    ['9:75', undefined],
    ['9', undefined],
    ['later', undefined],
  ])('times of day: %j', (text, value) => expect(readTimeOfDay(text)).toBe(value));
});

it('What is written is read again as the same', () => {
  for (const beats of [0.0625, 0.25, 0.5, 0.75, 1, 1.5, 16]) expect(readStretch(writeStretch({ beats }), true)).toEqual({ beats });
  for (const seconds of [0.1, 2, 20]) expect(readStretch(writeStretch({ seconds }), false)).toEqual({ seconds });
  for (const share of [0, 0.333, 1]) expect(readShare(writeShare(share))).toBe(share);
  for (const degrees of [-30, 0, 12.5]) expect(readDegrees(-180, 180)(writeDegrees(degrees))).toBe(degrees);
});

it('A level is written in whole per cent, and finer only where just that was written', () => {
  expect([0.7607, 0.125, 0.5, 0, 1].map(writeLevel)).toEqual(['76 %', '12.5 %', '50 %', '0 %', '100 %']);
});

it('A stretch is counted in beats or in seconds by the tempo, and back again', () => {
  expect(countedIn({ beats: 4 }, false, 120)).toEqual({ seconds: 2 });
  expect(countedIn({ seconds: 2 }, true, 120)).toEqual({ beats: 4 });
  expect(countedIn({ beats: 4 }, true, 120)).toEqual({ beats: 4 });
  expect(countedIn({ seconds: 3600 }, true, 120)).toEqual({ beats: 256 });
});

it('A hand pulls to quarters of a beat and to tenths of a second, and never to nothing', () => {
  expect(pulledTo(1.37, true)).toEqual({ beats: 1.25 });
  expect(pulledTo(-3, true)).toEqual({ beats: 0.25 });
  expect(pulledTo(0.44, false)).toEqual({ seconds: 0.4 });
});
