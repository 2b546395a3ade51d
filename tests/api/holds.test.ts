import { beforeEach, describe, expect, it } from 'vitest';
import { Holds } from '../../node/api/holds.ts';

/** Hits that are on; two phones. */
const on = new Set<string>();
let holds: Holds<string>;
beforeEach(() => {
  on.clear();
  holds = new Holds((button) => on.has(button));
});

/** A press that was carried out. */
function press(button: string, holder: string): void {
  holds.press(button, holder);
  on.add(button);
  holds.pressed(button, holder);
}

describe('a hit that fingers hold', () => {
  it('is let go by the last that lifts, whoever came first', () => {
    press('bump', 'A');
    press('bump', 'B');
    expect(holds.lift('bump', 'A')).toBe(false);
    expect(holds.lift('bump', 'B')).toBe(true);
  });

  it('is not let go for others by somebody who does not hold it', () => {
    press('bump', 'A');
    expect(holds.lift('bump', 'B')).toBe(false);
    expect(holds.lift('bump', 'A')).toBe(true);
  });

  it('that nobody holds may be let go by anybody: it was pressed at the machine', () => {
    on.add('bump');
    expect(holds.lift('bump', 'B')).toBe(true);
  });

  it('counts a phone once, however often it presses', () => {
    press('bump', 'A');
    press('bump', 'A');
    expect(holds.lift('bump', 'A')).toBe(true);
  });

  it('goes with its phone: silence, the page or a revocation lifts all of its fingers and nobody else’s', () => {
    press('bump', 'A');
    press('blind', 'A');
    press('blind', 'B');
    expect(holds.liftAll('A')).toEqual(['bump']);
    expect(holds.liftAll('A')).toEqual([]);
    expect(holds.liftAll('B')).toEqual(['blind']);
  });

  it('that ended by itself has no holders any more: a finger still on it keeps nobody’s next press alight', () => {
    press('bump', 'A');
    on.delete('bump');
    press('bump', 'B');
    expect(holds.lift('bump', 'B')).toBe(true);
  });

  it('is held from the moment the finger is down, before the engine has answered', () => {
    holds.press('bump', 'A');
    holds.press('bump', 'B');
    expect(holds.lift('bump', 'A')).toBe(false);
    // A has lifted meanwhile: that its press is carried out now makes it no holder again.
    holds.pressed('bump', 'A');
    expect(holds.lift('bump', 'B')).toBe(true);
  });
});
