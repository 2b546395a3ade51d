import { describe, expect, it } from 'vitest';
import { isZone } from '../../node/core/zone.ts';
import { Night } from '../../node/plan/night.ts';

/** A date and time as the text of an ISO 8601 instant with its offset, in epoch milliseconds. */
const at = (text: string): number => Date.parse(text);

describe('A night', () => {
  it('goes from six in the morning to six in the morning where the node is', () => {
    const night = new Night(at('2030-06-15T21:00:00+02:00'), 'Europe/Berlin');
    expect(night.begins).toBe(at('2030-06-15T06:00:00+02:00'));
    expect(night.ends).toBe(at('2030-06-16T06:00:00+02:00'));
    expect(night.instantOf('21:30')).toBe(at('2030-06-15T21:30:00+02:00'));
    expect(night.instantOf('00:30')).toBe(at('2030-06-16T00:30:00+02:00'));
  });

  it('is still the one of the evening before at three in the morning, and the next one at six', () => {
    expect(new Night(at('2030-06-16T03:00:00+02:00'), 'Europe/Berlin').instantOf('23:00')).toBe(at('2030-06-15T23:00:00+02:00'));
    expect(new Night(at('2030-06-16T06:00:00+02:00'), 'Europe/Berlin').instantOf('23:00')).toBe(at('2030-06-16T23:00:00+02:00'));
  });

  // Directive 2000/84/EC: summer time begins on the last Sunday of March and ends on the last of October, at 1 a.m. UTC each.
  it('has an hour less or more when summer time begins or ends', () => {
    const spring = new Night(at('2026-03-28T22:00:00+01:00'), 'Europe/Berlin');
    expect(spring.instantOf('01:30')).toBe(at('2026-03-29T01:30:00+01:00'));
    expect(spring.instantOf('02:30')).toBe(at('2026-03-29T03:30:00+02:00'));
    expect(spring.instantOf('03:30')).toBe(at('2026-03-29T03:30:00+02:00'));
    expect(spring.ends - spring.begins).toBe(23 * 3600 * 1000);
    const autumn = new Night(at('2026-10-24T22:00:00+02:00'), 'Europe/Berlin');
    expect(autumn.instantOf('01:30')).toBe(at('2026-10-25T01:30:00+02:00'));
    expect(autumn.instantOf('02:30')).toBe(at('2026-10-25T02:30:00+01:00'));
    expect(autumn.ends - autumn.begins).toBe(25 * 3600 * 1000);
  });

  it('is counted where the node is, whatever zone the machine is set to', () => {
    // 15 U.S.C. 260a: daylight saving time from the second Sunday of March to the first of November; Chicago is five hours behind UTC then.
    expect(new Night(at('2030-06-16T02:00:00Z'), 'America/Chicago').instantOf('21:30')).toBe(at('2030-06-16T02:30:00Z'));
    expect(new Night(at('2030-06-16T02:00:00Z'), 'Asia/Kolkata').instantOf('21:30')).toBe(at('2030-06-16T16:00:00Z'));
  });
});

it('a time zone is one of the IANA database', () => {
  expect(isZone('Europe/Lisbon')).toBe(true);
  expect(isZone('UTC')).toBe(true);
  expect(isZone('Middle/Earth')).toBe(false);
  expect(isZone('')).toBe(false);
});
