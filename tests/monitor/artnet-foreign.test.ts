import { describe, expect, it } from 'vitest';
import { HeardLevels } from '../../node/core/heard.ts';
import { toldReports } from '../../node/core/report.ts';
import { link } from '../helpers/recording-udp.ts';
import { from, rigWith } from '../outputs/artnet/by-hand.ts';

const eth = link('eth0', '192.0.2.10');

/** An ArtDmx by Art-Net 4's packet definition: OpCode 0x5000 low byte first, version 14, SubUni, Net, length, two slots. */
const artDmx = (portAddress: number, sequence = 1, level = 255): Buffer =>
  Buffer.from([...Buffer.from('Art-Net\0'), 0, 0x50, 0, 14, sequence, 0, portAddress & 0xff, portAddress >> 8, 0, 2, level, level]);

function playing(settings: Record<string, unknown> = {}, universes: readonly number[] = [1, 2]) {
  const rig = rigWith(settings, universes).start([eth]);
  rig.frame();
  return {
    rig,
    hear: (portAddress: number, address: string, sequence?: number, level?: number) =>
      rig.network.receive(artDmx(portAddress, sequence, level), from(address), 6454),
    foreign: () => rig.output.report(rig.clock.now()).foreign ?? [],
  };
}

it('ArtDmx of others on our Port-Addresses is reported, with sender and rate', () => {
  const { rig, hear, foreign } = playing({ portAddresses: { 2: 256 } });
  for (let i = 0; i < 200; i++) {
    hear(1, '192.0.2.8');
    if (i % 2 === 0) hear(256, '192.0.2.9');
    rig.frame();
  }
  const levels: unknown = expect.any(SharedArrayBuffer);
  expect(foreign()).toEqual([
    { portAddress: 1, address: '192.0.2.8', perSecond: 40, lastSeenAt: rig.clock.now() - 25, levels },
    { portAddress: 256, address: '192.0.2.9', perSecond: 20, lastSeenAt: rig.clock.now() - 50, levels },
  ]);
});

it('our own ArtDmx and that on other Port-Addresses is none of it', () => {
  const { hear, foreign } = playing();
  hear(1, '192.0.2.10');
  hear(3, '192.0.2.8');
  expect(foreign()).toEqual([]);
});

// Art-Net 4: a source that is silent for 10 s drops out of a merge.
it('whoever falls silent is forgotten after ten seconds', () => {
  const { rig, hear, foreign } = playing();
  hear(1, '192.0.2.8');
  rig.frames(9900);
  expect(foreign()).toMatchObject([{ perSecond: 0 }]);
  rig.frames(200);
  expect(foreign()).toEqual([]);
});

it('a flood of senders takes few places, leaves some for other Port-Addresses, and those that were there stay', () => {
  const universes = Array.from({ length: 20 }, (_, i) => i + 1);
  const { hear, foreign } = playing({}, universes);
  const flood = (portAddress: number): void => {
    for (let i = 0; i < 1000; i++) hear(portAddress, `198.51.${i >> 8}.${i & 0xff}`);
  };
  hear(1, '192.0.2.8');
  flood(1);
  expect(foreign()).toHaveLength(8);
  hear(2, '192.0.2.9');
  for (const universe of universes) flood(universe);
  expect(foreign()).toHaveLength(64);
  expect(foreign()[0]).toMatchObject({ portAddress: 1, address: '192.0.2.8' });
  expect(foreign().find(({ portAddress }) => portAddress === 2)).toMatchObject({ address: '192.0.2.9' });
});

describe('the levels of others', () => {
  const heard = (streams: ReturnType<ReturnType<typeof playing>['foreign']>): number[] => [
    ...new HeardLevels(streams[0]?.levels).read(),
  ];

  // Art-Net 4, ArtDmx: numbers go from 1 to 255 and round; 0 says that there are none.
  it.each([
    ['in order', 7, 8, 20],
    ['round the end', 255, 1, 20],
    ['late', 8, 7, 10],
    ['late round the end', 1, 255, 10],
    ['without numbers', 0, 0, 20],
    ['far behind, so begun anew', 100, 50, 20],
  ])('are the newest: %s', (_, first, second, level) => {
    const { hear, foreign } = playing();
    hear(1, '192.0.2.8', first, 10);
    hear(1, '192.0.2.8', second, 20);
    expect(heard(foreign())).toEqual([level, level]);
  });

  it('are those of a sender that begins anew after a pause, whatever its number', () => {
    const { rig, hear, foreign } = playing();
    hear(1, '192.0.2.8', 8, 10);
    rig.frames(1000);
    hear(1, '192.0.2.8', 7, 20);
    expect(heard(foreign())).toEqual([20, 20]);
  });

  it('stay in the node', () => {
    const { rig, hear } = playing();
    hear(1, '192.0.2.8');
    const [told] = toldReports([rig.output.report(rig.clock.now())]);
    expect(told?.foreign).toEqual([{ portAddress: 1, address: '192.0.2.8', perSecond: 1, lastSeenAt: rig.clock.now() }]);
  });
});
