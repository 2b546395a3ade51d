import { describe, expect, it } from 'vitest';
import { summaryOf } from '../../../node/api/summary.ts';
import { Levels } from '../../../node/core/levels.ts';
import { Encoder } from '../../../node/dmx/encode.ts';
import { patchShow, planPatch } from '../../../node/plan/patch/document.ts';
import { compileShow } from '../../../node/playback/compile.ts';
import { faultsOf } from '../../../node/show/faults.ts';
import { checkShow, readDraft } from '../../../node/show/read.ts';
import { standings } from '../../../ui/src/parts/address.ts';
import { smallShow } from '../../show/small-show.ts';

/** An invented lamp: a dimmer from its first start address on, three emitters from its second (GDTF, DMX break). */
const twice = {
  id: 'twice',
  name: 'Twice',
  modes: [
    {
      id: 'm',
      name: 'M',
      channels: [
        { slot: 1, functions: [{ attribute: 'Dimmer' }] },
        ...['ColorAdd_R', 'ColorAdd_G', 'ColorAdd_B'].map((attribute, i) => ({
          slot: i + 1,
          break: 2,
          functions: [{ attribute }],
        })),
      ],
    },
  ],
};
const lamp = (id: string, more: object = {}) => ({ id, name: `Lamp ${id}`, type: 'twice', mode: 'm', use: 'uplight', ...more });
const showOf = (...fixtures: object[]) => ({
  ...smallShow(),
  fixtureTypes: [twice],
  fixtures: [...smallShow().fixtures, ...fixtures],
});
const how = { afresh: false, gap: 0 };
const at = (universe: number, address: number) => ({ universe, address });

describe('a lamp with a second start address', () => {
  it('gets both from the planner, each free of the others', () => {
    const { document } = planPatch(showOf(lamp('a'), lamp('b')), how);
    const planned = (document as { fixtures: object[] }).fixtures.slice(2);
    // Two pars have 1 to 12; the first blocks of both, then the second ones.
    expect(planned).toMatchObject([
      { ...at(1, 13), further: [at(1, 15)] },
      { ...at(1, 14), further: [at(1, 18)] },
    ]);
  });

  it('keeps those that stand without a clash; a clash of either is named', () => {
    const { words, json } = patchShow(
      JSON.stringify(showOf(lamp('a', { ...at(2, 1), further: [at(1, 11)] }), lamp('b', { ...at(2, 1), further: [at(3, 1)] }))),
      how,
    );
    expect(words).toContain('Right and Lamp a, address 2 both want slots 11 to 12 of universe 1');
    expect(words).toContain('Lamp a and Lamp b both want slot 1 of universe 2');
    expect((JSON.parse(json) as { fixtures: object[] }).fixtures.slice(2)).toMatchObject([
      // Behind the other of its kind.
      { ...at(2, 1), further: [at(3, 4)] },
      { ...at(2, 2), further: [at(3, 1)] },
    ]);
  });

  it('cannot be played without it, with one too many, or with one that clashes or runs off the end', () => {
    const faults = (further: object[]) =>
      faultsOf(readDraft(showOf(lamp('a', { ...at(1, 13), further }))).show, 9).map(({ path, message }) => `${path}: ${message}`);
    expect(faults([])).toEqual(['fixtures[2].further: "M" has 2 start addresses: further ones must be 1 (found 0)']);
    expect(faults([at(1, 14), at(1, 20)])).toEqual([
      'fixtures[2].further: "M" has 2 start addresses: further ones must be 1 (found 2)',
    ]);
    expect(faults([at(1, 13)])).toEqual(['fixtures[2].further[0].address: "Lamp a" and "Lamp a" both want slot 13 of universe 1']);
    expect(faults([at(1, 511)])).toEqual(['fixtures[2].further[0].address: needs slots 511 to 513, but a universe ends at 512']);
    expect(faults([at(7, 1)])).toEqual([]);
  });

  it('sends to both universes, and stands on the sheet at both', () => {
    const compiled = compileShow(checkShow(showOf(lamp('a', { ...at(1, 13), further: [at(7, 100)] }))));
    const { rig } = compiled;
    expect(rig.universes).toEqual([1, 7]);
    const levels = new Levels(rig.universes);
    const frame = Float64Array.from(rig.rest);
    const cells = rig.byId.get('a')?.lamps[0].cells;
    frame[cells?.get('Dimmer') ?? -1] = 1;
    frame[cells?.get('ColorAdd_G') ?? -1] = 0.2;
    Encoder.for(rig, levels).encode(frame);
    expect(levels.snapshot(1)[12]).toBe(255);
    expect(levels.snapshot(7)[100]).toBe(51);

    const summary = summaryOf(compiled).fixtures.find(({ id }) => id === 'a');
    expect(summary).toMatchObject({
      ...at(1, 13),
      channels: [{ slot: 13 }],
      further: [{ ...at(7, 100), channels: [{ slot: 100 }, { slot: 101 }, { slot: 102 }] }],
    });
    expect(standings(summary as never).map(({ name, universe, address }) => `${name} ${universe}.${address}`)).toEqual([
      'Lamp a 1.13',
      'Lamp a, address 2 7.100',
    ]);
  });
});
