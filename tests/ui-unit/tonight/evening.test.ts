import { describe, expect, it } from 'vitest';
import type { MomentSummary } from '../../../node/api/contract.ts';
import { timeOfDay } from '../../../ui/src/parts/words.ts';
import { doesInWords, isPlanned, lateInWords, tonights, whenInWords } from '../../../ui/src/tonight/evening.ts';

const moment = (id: string, more: Partial<MomentSummary> = {}): MomentSummary => ({
  id,
  name: id,
  buttons: [],
  starts: [],
  stops: [],
  ...more,
});
const NINE = Date.UTC(2030, 5, 15, 21);
const MINUTE = 60_000;

describe('The moments of tonight', () => {
  const show = [moment('dinner'), moment('toasts'), moment('dancing')];
  const evening = {
    wall: NINE,
    on: 'toasts',
    late: 0,
    moments: [
      { id: 'toasts' },
      { id: 'gone' },
      { id: 'dinner', at: NINE + 5 * MINUTE },
      { id: 'dancing', at: NINE, automatic: true as const },
    ],
  };

  it("come in tonight's order, from the one that is on", () => {
    expect(tonights(show, evening).map(({ id, isOn, isToCome }) => [id, isOn, isToCome])).toEqual([
      ['toasts', true, false],
      ['dinner', false, true],
      ['dancing', false, true],
    ]);
    expect(tonights(show, undefined).map(({ id }) => id)).toEqual(['dinner', 'toasts', 'dancing']);
  });

  it('say when they come: what is to come is due when it is so late, and what comes by itself says so', () => {
    const [toasts, dinner, dancing] = tonights(show, evening);
    const said = (of: typeof toasts, wall: number) => of && whenInWords(of, wall);
    expect(said(toasts, NINE)).toBe('');
    expect(said(dinner, NINE)).toBe(timeOfDay(NINE + 5 * MINUTE));
    expect(said(dinner, NINE + 5 * MINUTE)).toBe(`due ${timeOfDay(NINE + 5 * MINUTE)}`);
    expect(said(dancing, NINE - MINUTE)).toBe(`auto ${timeOfDay(NINE)}`);
    // It has not begun by itself, and will not any more.
    expect(said(dancing, NINE + MINUTE)).toBe(`due ${timeOfDay(NINE)}`);
  });

  it('are a plan where anything begins or goes with them, or one has a time', () => {
    expect(isPlanned(tonights(show, undefined))).toBe(false);
    expect(isPlanned(tonights(show, evening))).toBe(true);
    expect(isPlanned(tonights([moment('dinner', { stops: ['Walls'] })], undefined))).toBe(true);
  });
});

it('what a moment changes is said in a sentence', () => {
  expect(doesInWords({ starts: ['Dinner', 'Walls'], stops: ['Chase'] })).toBe('Starts Dinner and Walls; lets go of Chase.');
  expect(doesInWords({ starts: ['Dinner'], stops: [], alone: true })).toBe(
    'Starts Dinner; lets go of whatever else plays on its lights.',
  );
  expect(doesInWords({ starts: [], stops: ['Chase'] })).toBe('Lets go of Chase.');
  expect(doesInWords({ starts: [], stops: [] })).toBe('Changes nothing by itself.');
});

it('how late the evening is', () => {
  expect([0, 10, -5].map(lateInWords)).toEqual(['On time', '10 min late', '5 min early']);
});
