import { describe, expect, it } from 'vitest';
import { link } from '../../helpers/recording-udp.ts';
import { isPoll, rigWith } from './by-hand.ts';

const eth = link('eth0', '192.0.2.10');

describe('polling', () => {
  it('broadcasts an ArtPoll that asks for replies on change', () => {
    const [first] = rigWith().start([eth]).frame();
    expect(first).toMatchObject({ address: '192.0.2.255', port: 6454 });
    // Art-Net 4, packet definition of ArtPoll: Flags 0x02, no diagnostics, no target; EstaMan and Oem high byte first.
    expect(Buffer.from(first?.bytes ?? []).toString('hex')).toBe(
      '4172742d4e657400' + '0020' + '000e' + '02' + '00' + '00000000' + '7ff0' + '00ff',
    );
  });

  // Art-Net 4: every 2.5 to 3 s.
  it.each([0, 0.25, 0.999])('comes every 2.5 to 3 s over ten minutes, whatever chance gives (%f)', (chance) => {
    const rig = rigWith({}, [1], () => chance).start([eth]);
    // Frames that come late now and then.
    let i = 0;
    const times = rig
      .frames(600_000, () => (i++ % 7 === 0 ? 60 : 25))
      .filter(isPoll)
      .map(({ at }) => at);
    expect(times.length).toBeGreaterThanOrEqual(200);
    for (const [n, at] of times.slice(1).entries()) {
      expect(at - (times[n] ?? 0)).toBeGreaterThanOrEqual(2500);
      expect(at - (times[n] ?? 0)).toBeLessThanOrEqual(3000);
    }
  });

  it('goes on when addresses are given, for the report', () => {
    const rig = rigWith({ to: ['192.0.2.60'] }).start([eth]);
    expect(rig.frames(10_000).filter(isPoll).length).toBeGreaterThanOrEqual(3);
  });

  it('comes at once when a link does', () => {
    const rig = rigWith().start([]);
    expect(rig.frames(1000)).toEqual([]);
    rig.relink([eth]);
    expect(rig.frame().filter(isPoll)).toHaveLength(1);
    rig.relink([eth]);
    expect(rig.frames(2400).filter(isPoll)).toHaveLength(0);
  });
});
