import { describe, expect, it } from 'vitest';
import { channelFacts } from '../../node/rig/channel-facts.ts';
import { fixtureType } from '../../node/rig/fixture-type.ts';
import { library } from '../../node/rig/library.ts';

const factsOf = (id: string) => {
  const type = library.get(id);
  const [mode] = type?.modes ?? [];
  if (type === undefined || mode === undefined) throw new Error(`no ${id}`);
  return channelFacts(mode, type);
};

describe('the channels of a kind of lamp, in words', () => {
  it('stand in the order of slots, fine bytes with their coarse ones', () => {
    expect(factsOf('spot-head').slice(0, 2)).toEqual([
      { slots: '1 and 2', what: 'Pan', values: ['0–255: Pan, -270° to 270°'] },
      { slots: '3 and 4', what: 'Tilt', values: ['0–255: Tilt, -135° to 135°'] },
    ]);
  });

  it('name what is in on a wheel at each of its stretches', () => {
    const type = fixtureType.parse({
      id: 'wheeled',
      name: 'Wheeled',
      wheels: { Color1: [{ name: 'Open' }, { name: 'Moss' }] },
      modes: [
        {
          id: 'one',
          name: 'One',
          channels: [
            {
              slot: 2,
              functions: [
                {
                  attribute: 'Color1',
                  to: 99,
                  physical: [1, 2],
                  stretches: [
                    { slot: 1, from: 0, to: 9 },
                    { slot: 2, from: 10, to: 99 },
                  ],
                },
                { attribute: 'NoFeature', from: 100 },
              ],
            },
            { slot: 1, functions: [{ attribute: 'Dimmer', physical: [1, 0] }] },
          ],
        },
      ],
    });
    expect(channelFacts(type.modes[0] as never, type)).toEqual([
      { slots: '1', what: 'Brightness', values: ['0–255: Brightness, from all to nothing'] },
      { slots: '2', what: 'Colour wheel', values: ['0–9: Open', '10–99: Moss', '100–255: Not used'] },
    ]);
  });

  it('are as many as the mode has, of every kind in the library', () => {
    for (const type of library.values())
      for (const mode of type.modes) expect(channelFacts(mode, type)).toHaveLength(mode.channels.length);
  });
});
