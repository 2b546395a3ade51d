import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { proposalsOf } from '../../../ui/src/bench/colours/proposals.ts';

describe('Colours that are proposed for a theme', () => {
  it('that differ in brightness alone, or hardly, share a word and no name', () => {
    const reds = [0xff0000, 0x800000, 0xfe0101].map((packed) => proposalsOf([packed], [])[0]?.name);
    expect(new Set(reds).size).toBe(1);
    const [word] = reds;
    expect(proposalsOf([0xff0000, 0x800000, 0xfe0101], []).map(({ name }) => name)).toEqual([word, `${word} 2`, `${word} 3`]);
    // The theme has one of that name, and another that would be next.
    const theme = [{ name: `${word}`.toUpperCase() }, { name: `${word} 2` }];
    expect(proposalsOf([0xff0000, 0xff0000], theme).map(({ name }) => name)).toEqual([`${word} 3`, `${word} 4`]);
  });

  it('never have the name of another, whatever they are', () => {
    const colours = fc.array(fc.integer({ min: 1, max: 0xffffff }), { maxLength: 12 });
    fc.assert(
      fc.property(colours, colours, (one, other) => {
        const theme = proposalsOf(one, []);
        const names = [...theme, ...proposalsOf(other, theme)].map(({ name }) => name.toLowerCase());
        expect(new Set(names).size).toBe(names.length);
      }),
    );
  });
});
