import { describe, expect, it } from 'vitest';
import { DEEPEST, depthProblem } from '../../node/core/json.ts';

const nested = (depth: number): unknown => JSON.parse(`${'['.repeat(depth)}${']'.repeat(depth)}`);

describe('the depth of what comes in', () => {
  it('is free up to the limit and told with its place beyond', () => {
    expect(depthProblem(nested(DEEPEST))).toBeUndefined();
    expect(depthProblem(nested(DEEPEST + 1))?.message).toBe('must have at most 32 lists and objects within one another');
    expect(depthProblem({ a: 1, changes: [{ was: 'x' }, { was: nested(200_000) }] })?.path).toMatch(/^changes\[1\]\.was\[0\]\[0\]/);
  });

  it('is nothing to what is no list and no object, and wide is not deep', () => {
    for (const plain of [undefined, null, 7, 'text', true, Array.from({ length: 100_000 }, () => [1])])
      expect(depthProblem(plain)).toBeUndefined();
  });

  it('is told with a place that can be read', () => {
    const long = { ['x'.repeat(5000)]: nested(100) };
    expect(depthProblem(long)?.path).toHaveLength(80);
  });
});
