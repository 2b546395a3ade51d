import { describe, expect, it } from 'vitest';
import { clashesOf } from '../../../node/plan/patch/clashes.ts';
import { dipSwitches, switchesInWords } from '../../../node/plan/patch/dip.ts';
import { linesOf } from '../../../node/plan/patch/lines.ts';

const picture = (address: number): string | undefined =>
  dipSwitches(address)
    ?.map((on) => (on ? '1' : '0'))
    .join('');

describe('The switches of an address', () => {
  // Binary by hand, lowest first: 1; 7 = 1 + 2 + 4; 21 = 1 + 4 + 16; 101 = 1 + 4 + 32 + 64; 256; 511 is all nine.
  it('are its binary digits, switch 1 for 1', () => {
    expect(picture(1)).toBe('100000000');
    expect(picture(7)).toBe('111000000');
    expect(picture(21)).toBe('101010000');
    expect(picture(101)).toBe('101001100');
    expect(picture(256)).toBe('000000001');
    expect(picture(511)).toBe('111111111');
  });

  it('are said in words', () => {
    expect(switchesInWords(8)).toBe('4 on');
    expect(switchesInWords(3)).toBe('1 and 2 on');
    expect(switchesInWords(101)).toBe('1, 3, 6 and 7 on');
  });

  it('do not reach 512, and it is said', () => {
    expect(picture(512)).toBeUndefined();
    expect(switchesInWords(512)).toMatch(/tenth switch, or cannot be set/);
    for (const none of [0, -1, 513, 1.5]) expect(picture(none)).toBeUndefined();
  });

  it('add up to the address for every address there is', () => {
    for (let address = 1; address < 512; address++) {
      const worth = [1, 2, 4, 8, 16, 32, 64, 128, 256];
      expect(dipSwitches(address)?.reduce((sum, on, i) => sum + (on ? (worth[i] ?? 0) : 0), 0)).toBe(address);
    }
  });
});

describe('What is wrong with a patch', () => {
  const lamp = (id: string, universe: number, address: number, size: number) => ({ id, universe, address, size });

  it('is nothing where lamps stand side by side, or in universes apart', () => {
    expect(clashesOf([lamp('b', 1, 7, 506), lamp('a', 1, 1, 6), lamp('c', 2, 1, 512)])).toEqual([]);
  });

  it('is every pair that shares slots, with the slots', () => {
    expect(clashesOf([lamp('long', 1, 1, 20), lamp('in', 1, 5, 2), lamp('end', 1, 20, 4), lamp('far', 1, 24, 1)])).toEqual([
      { kind: 'overlap', ids: ['long', 'in'], universe: 1, from: 5, to: 6 },
      { kind: 'overlap', ids: ['long', 'end'], universe: 1, from: 20, to: 20 },
    ]);
  });

  it('is a lamp that runs off the end', () => {
    expect(clashesOf([lamp('a', 1, 505, 8), lamp('b', 2, 505, 9)])).toEqual([
      { kind: 'overflow', id: 'b', universe: 2, last: 513 },
    ]);
  });
});

describe('Lines', () => {
  const row = (count: number, universe: number) => Array.from({ length: count }, (_, i) => ({ universe, address: i + 1 }));

  // EIA-485, to which ANSI E1.11 refers: at most 32 unit loads on a line.
  it('carry 32 lamps at most, and none carries two universes', () => {
    const count = linesOf([...row(65, 1), ...row(32, 2)]).map(({ universe, number, lamps }) => [universe, number, lamps.length]);
    expect(count).toEqual([
      [1, 1, 32],
      [1, 2, 32],
      [1, 3, 1],
      [2, 1, 32],
    ]);
  });
});
