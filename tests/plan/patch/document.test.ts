import { describe, expect, it } from 'vitest';
import { InputError } from '../../../node/core/errors.ts';
import { patchShow, planPatch } from '../../../node/plan/patch/document.ts';
import { smallShow } from '../../show/small-show.ts';

const how = { afresh: false, gap: 8 };
const lamp = (id: string, address?: number, universe = 1) => ({
  id,
  name: `Lamp ${id}`,
  type: 'rgbw-par',
  mode: '6ch',
  use: 'uplight',
  ...(address === undefined ? {} : { universe, address }),
});
const showOf = (...fixtures: object[]): object => ({
  ...smallShow(),
  fixtures: [...smallShow().fixtures, ...fixtures],
});
const placed = (json: unknown): string[] =>
  (json as { fixtures: { id: string; universe: number; address: number }[] }).fixtures.map(
    ({ id, universe, address }) => `${id} ${universe}.${address}`,
  );

describe('A show without addresses, or with some that clash', () => {
  it('gets them, and is a whole show then', () => {
    const { document } = planPatch(showOf(lamp('new')), how);
    expect(placed(document)).toEqual(['left 1.1', 'right 1.7', 'new 1.13']);
  });

  it('has the clash named and put right, the first of the two left where it is', () => {
    const { words, json } = patchShow(JSON.stringify(showOf(lamp('third', 10))), how);
    expect(words).toContain('Right and Lamp third both want slots 10 to 12 of universe 1');
    expect(words).toContain('(was 1.10)');
    expect(words).toContain('Universe 1, line 1: 3 of 32 unit loads');
    expect(words).toContain('120 Ω');
    expect(placed(JSON.parse(json))).toEqual(['left 1.1', 'right 1.7', 'third 1.13']);
  });

  it('is addressed afresh from slot 1 when that is asked for', () => {
    const { document } = planPatch(showOf(lamp('far', 300, 7)), { ...how, afresh: true });
    expect(placed(document)).toEqual(['left 1.1', 'right 1.7', 'far 1.13']);
  });

  it('keeps all else of the document as it is written', () => {
    const before = showOf(lamp('new'));
    const { document } = planPatch(before, how);
    expect({ ...document, fixtures: [] }).toEqual({ ...before, fixtures: [] });
  });

  it('says what it cannot address, and what else is wrong', () => {
    const refused = (json: unknown): string => {
      try {
        planPatch(json, how);
        return 'nothing';
      } catch (error) {
        if (!(error instanceof InputError)) throw error;
        return [error.message, ...error.problems.map(({ path, message }) => `${path}: ${message}`)].join('; ');
      }
    };
    expect(refused(showOf({ ...lamp('odd'), mode: '99ch' }))).toContain(
      'fixtures[2]: there is no fixture type "rgbw-par" with a mode "99ch"',
    );
    expect(refused({})).toContain('fixtures');
    expect(refused({ ...showOf(), looks: [] })).toContain('there is no look');
    expect(() => patchShow('{', how)).toThrow('This is not JSON');
  });
});
