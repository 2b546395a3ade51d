import { describe, expect, it } from 'vitest';
import { InputError } from '../../node/core/errors.ts';
import { checkShow, parseJson } from '../../node/show/read.ts';
import { named, readerRows, schemaRows } from './bad-show-rows.ts';
import { type Spoilable, smallShow } from './small-show.ts';

function refusal(run: () => unknown): InputError {
  try {
    run();
  } catch (error) {
    if (error instanceof InputError) return error;
    throw error;
  }
  throw new Error('was accepted');
}

describe('a show with a mistake', () => {
  it('is none as long as nothing was spoilt', () => {
    expect(checkShow(smallShow()).name).toBe('Small');
  });

  it.each([...schemaRows, ...readerRows].map(named))('$what', ({ spoil, path, says }) => {
    const show = smallShow();
    spoil(show);
    const { problems } = refusal(() => checkShow(show));
    expect(problems.map((problem) => problem.path)).toContain(path);
    const message = problems.find((problem) => problem.path === path)?.message ?? '';
    for (const words of says) expect(message).toContain(words);
  });

  it('is told all its mistakes at once', () => {
    const show: Spoilable = smallShow();
    show.tempo = 5;
    show.looks[0].fade = 'slow';
    show.hits[0].longest = 99;
    expect(refusal(() => checkShow(show)).problems.map(({ path }) => path)).toEqual(['tempo', 'looks[0].fade', 'hits[0].longest']);
  });

  it('gets a list that can be read when everything is wrong', () => {
    const show: Spoilable = smallShow();
    show.fixtures = Array.from({ length: 300 }, (_, i) => ({ ...show.fixtures[0], id: `f${i}`, type: 'lava-lamp' }));
    expect(refusal(() => checkShow(show)).problems).toHaveLength(20);
  });
});

describe('a fixture at the very end of a universe', () => {
  it('fits with its last slot at 512', () => {
    const show = smallShow();
    Object.assign(show.fixtures[1] as object, { address: 507 });
    expect(checkShow(show).fixtures[1]?.address).toBe(507);
  });

  it('may want the slots that another has in the next universe', () => {
    const show = smallShow();
    Object.assign(show.fixtures[1] as object, { universe: 2, address: 1 });
    expect(checkShow(show).fixtures[1]?.universe).toBe(2);
  });
});

describe('what is no show of ours', () => {
  it.each([
    ['nothing', ''],
    ['prose', 'Dear DJ,'],
    ['half a document', '{"format": "duskhand-show", "version": 1,'],
  ])('is refused as not JSON: %s', (_what, text) => {
    expect(refusal(() => checkShow(parseJson(text))).message).toBe('This is not JSON');
  });

  it.each([
    'null',
    '[]',
    '"duskhand-show"',
    '{}',
    '{"format": "duskhand-show"}',
    '{"version": 1}',
    '{"format": "duskhand-show", "version": "1"}',
  ])('is refused by its head: %s', (text) => {
    expect(refusal(() => checkShow(parseJson(text))).message).toBe('This is not a Duskhand show');
  });

  it('is refused politely when a newer version wrote it, whatever else stands in it', () => {
    const error = refusal(() => checkShow({ format: 'duskhand-show', version: 5, rooms: [] }));
    expect(error.message).toContain('newer Duskhand (document version 5, this one reads up to 4)');
    expect(error.problems).toEqual([
      { path: 'version', message: 'Update Duskhand on this node to open it; the file is left as it is' },
    ]);
  });

  it('is refused in words even when it is nested deeper than a call stack', () => {
    const deep = `${'['.repeat(200_000)}${']'.repeat(200_000)}`;
    const text = JSON.stringify(smallShow()).replace('"Small"', deep);
    const { message, problems } = refusal(() => checkShow(parseJson(text)));
    expect(message).toBe('This is nested too deep');
    expect(problems).toMatchObject([{ path: expect.stringMatching(/^name\[0\]\[0\]/) }]);
  });

  it('cannot smuggle in a prototype', () => {
    const text = JSON.stringify(smallShow()).replace('{', '{"__proto__": {"demo": true},');
    expect(refusal(() => checkShow(parseJson(text))).problems[0]?.path).toBe('__proto__');
  });
});
