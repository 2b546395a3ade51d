import { describe, expect, it } from 'vitest';
import { type OutputSettings, outputSettings } from '../../node/core/output-settings.ts';
import type { Output } from '../../node/core/ports.ts';
import { OutputSet } from '../../node/engine/output-set.ts';

const settings = (rest: Record<string, unknown>): OutputSettings => outputSettings.parse({ protocol: 'sacn', ...rest });

/** Outputs that only note what is asked of them. */
function set(...first: OutputSettings[]) {
  const told: string[] = [];
  let built = 0;
  const outputs = new OutputSet((of): Output => {
    const who = `${of.id} ${++built}`;
    let carried: readonly number[] = [];
    const note = (what: string) => () => void told.push(`${who}: ${what}`);
    return {
      id: of.id,
      settle: note('settle'),
      repeat: note('repeat'),
      carry: (universes) => {
        carried = universes;
        told.push(`${who}: carry ${universes.join(' ')}`);
      },
      relink: note('relink'),
      flush: () => 1,
      tend: () => 1,
      dueAt: built * 10,
      stop: note('stop'),
      report: () => ({
        id: of.id,
        protocol: 'sacn',
        state: 'sending',
        towards: '',
        packets: 0,
        dropped: 0,
        errors: [],
        // The last universe that there is has no Port-Address.
        universes: carried.map((universe) => ({
          universe,
          packets: 0,
          lastSentAt: null,
          ...(universe === 63999 && { isLeft: true }),
        })),
      }),
    };
  });
  outputs.set(first, 0);
  outputs.carry([1, 2], 0);
  return {
    outputs,
    /** What happens to the outputs when the settings become these. */
    becomes: (...next: OutputSettings[]): string[] => {
      told.length = 0;
      outputs.set(next, 0);
      return told;
    },
  };
}

const a = settings({ id: 'a' });
const b = settings({ id: 'b', universes: [2] });

describe('when the settings of outputs change', () => {
  it('those that are the same are left alone', () => {
    expect(set(a, b).becomes(b, a)).toEqual(['b 2: carry 2', 'a 1: carry 1 2']);
  });

  it('the one that differs goes on under its new ones', () => {
    expect(set(a, b).becomes(settings({ id: 'a', priority: 150 }), b)).toEqual(['a 1: settle', 'a 1: carry 1 2', 'b 2: carry 2']);
  });

  it('one that is gone says goodbye before another begins', () => {
    const { becomes, outputs } = set(a, b);
    expect(becomes(a, settings({ id: 'c' }))).toEqual(['b 2: stop', 'c 3: relink', 'a 1: carry 1 2', 'c 3: carry 1 2']);
    expect(outputs.report(0).outputs.map(({ id }) => id)).toEqual(['a', 'c']);
  });

  it('one that changes its protocol is another', () => {
    expect(set(a).becomes(settings({ id: 'a', protocol: 'artnet' }))).toEqual(['a 1: stop', 'a 2: relink', 'a 2: carry 1 2']);
  });
});

describe('between frames', () => {
  it('all are tended to, when the first of them is due', () => {
    const { outputs } = set(a, b);
    expect(outputs.dueAt).toBe(10);
    expect(outputs.tend(0)).toBe(2);
    outputs.set([], 0);
    expect(outputs.dueAt).toBe(Number.POSITIVE_INFINITY);
  });
});

describe('universes that no output carries', () => {
  it('are told of: those that no output is set to, and those that it has no number for', () => {
    const unsent = (...of: OutputSettings[]) => {
      const { outputs } = set(...of);
      outputs.carry([1, 2, 63999], 0);
      return outputs.report(0).unsent;
    };
    expect(unsent(a)).toEqual([63999]);
    expect(unsent(b)).toEqual([1, 63999]);
    expect(unsent()).toEqual([1, 2, 63999]);
  });
});
