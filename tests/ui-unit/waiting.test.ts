import { describe, expect, it } from 'vitest';
import { done, over, sent, stateCame, type WaitingList } from '../../ui/src/waiting.ts';

const none: WaitingList = new Map();
const buttons = (list: WaitingList) => [...list.keys()];

describe('a press that waits for the node', () => {
  it('is over when the node has answered and a state has come, in either order', () => {
    const list = sent(none, 'walls', 1);
    expect(buttons(done(list, 'walls', 1))).toEqual(['walls']);
    expect(buttons(stateCame(done(list, 'walls', 1)))).toEqual([]);
    expect(buttons(stateCame(list))).toEqual(['walls']);
    expect(buttons(done(stateCame(list), 'walls', 1))).toEqual([]);
  });

  it('is over at once when it is refused', () => {
    expect(buttons(over(sent(none, 'walls', 1), 'walls', 1))).toEqual([]);
  });

  it('does not mistake the answer to an earlier press for its own', () => {
    const list = sent(stateCame(sent(none, 'walls', 1)), 'walls', 2);
    expect(buttons(stateCame(done(list, 'walls', 1)))).toEqual(['walls']);
    expect(buttons(over(list, 'walls', 1))).toEqual(['walls']);
    expect(buttons(stateCame(done(list, 'walls', 2)))).toEqual([]);
  });

  it('leaves other buttons alone', () => {
    const list = sent(sent(none, 'walls', 1), 'haze', 2);
    expect(buttons(stateCame(done(list, 'walls', 1)))).toEqual(['haze']);
  });
});
