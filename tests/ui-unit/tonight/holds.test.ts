import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Holds } from '../../../ui/src/tonight/holds.ts';

function recorded() {
  const said: string[] = [];
  const holds = new Holds(
    (button) => said.push(`press ${button}`),
    (button) => said.push(`release ${button}`),
  );
  return { said, holds };
}

describe('a held button', () => {
  it('acts from the first finger to the last', () => {
    const { said, holds } = recorded();
    holds.down('blinder', 'pointer 1');
    holds.down('blinder', 'pointer 2');
    holds.up('pointer 1');
    expect(said).toEqual(['press blinder']);
    holds.up('pointer 2');
    expect(said).toEqual(['press blinder', 'release blinder']);
  });

  it('lets go once, however often the browser says so', () => {
    const { said, holds } = recorded();
    holds.down('blinder', 'pointer 1');
    holds.up('pointer 1');
    holds.up('pointer 1');
    expect(said).toEqual(['press blinder', 'release blinder']);
  });

  it('lets everything go when the page or the line goes', () => {
    const { said, holds } = recorded();
    holds.down('blinder', 'pointer 1');
    holds.down('white', 'key white');
    holds.allUp();
    expect(said.slice(2)).toEqual(['release blinder', 'release white']);
    expect(holds.held.value.size).toBe(0);
  });

  it('never stays pressed: whatever fingers do, each press is followed by its release', () => {
    const step = fc.record({ up: fc.boolean(), button: fc.constantFrom('a', 'b'), holder: fc.constantFrom('1', '2', '3') });
    fc.assert(
      fc.property(fc.array(step, { maxLength: 40 }), (steps) => {
        const { said, holds } = recorded();
        for (const { up, button, holder } of steps) up ? holds.up(holder) : holds.down(button, holder);
        holds.allUp();
        for (const button of ['a', 'b']) {
          const own = said.filter((line) => line.endsWith(button)).map((line) => line.split(' ')[0]);
          expect(own).toEqual(own.map((_, i) => (i % 2 === 0 ? 'press' : 'release')));
          expect(own.length % 2).toBe(0);
        }
      }),
    );
  });
});
