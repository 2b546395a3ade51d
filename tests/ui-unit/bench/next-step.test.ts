import { expect, test } from 'vitest';
import { nextStepOf } from '../../../ui/src/bench/next-step.ts';
import { shortened } from '../../../ui/src/bench/shortened.ts';
import { demoShow } from '../../show/demo-show.ts';

test('A show that is being made is told what it needs next, until it can be played', () => {
  const barn = demoShow('barn-wedding');
  const none = { ...barn, fixtures: [], looks: [], buttons: [], theme: { ...barn.theme, colours: [] } };
  const { fixtures, theme, looks } = barn;
  expect(nextStepOf(none)?.page).toBe('lights');
  expect(nextStepOf({ ...none, fixtures })?.page).toBe('colours');
  expect(nextStepOf({ ...none, fixtures, theme })?.page).toBe('looks');
  // Who makes looks without a theme is not sent back.
  expect(nextStepOf({ ...none, fixtures, looks })?.page).toBe('evening');
  expect(nextStepOf({ ...none, fixtures, theme, looks })?.page).toBe('evening');
  expect(nextStepOf(barn)).toBeUndefined();
});

test('Words that are too long end at a whole word', () => {
  expect(shortened('Take back: colour of Dinner', 48)).toBe('Take back: colour of Dinner');
  expect(shortened('Take back: colour and level of The first dance of the evening', 48)).toBe(
    'Take back: colour and level of The first dance…',
  );
  expect(shortened('Take back: new look A; new look B', 25)).toBe('Take back: new look A…');
  expect(shortened('x'.repeat(60), 48)).toBe(`${'x'.repeat(47)}…`);
});
