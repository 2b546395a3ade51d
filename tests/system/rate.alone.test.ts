import { afterEach, describe, expect, it } from 'vitest';
import { endAll, NodeProcess } from '../helpers/node-process.ts';
import { Capture } from '../helpers/tshark.ts';
import { type Heard, Listener } from './listener.ts';
import { swayingShow, YOKE } from './plain-show.ts';

afterEach(endAll);

/** ANSI E1.11: 512 slots with break and mark take 22.676 ms; E1.31-2018 section 6.6.1 defers to it. */
const FASTEST = 44;
/** By how much the first of a second's packets may be held up on its way to the capture, on a machine that is busy with tests. */
const JITTER = 0.15;

const pans = (wire: Listener): Heard[] => wire.heard.filter(({ universe }) => universe === 2);
/** The first step of a chase has none before it to come from: the yoke stands for a second. */
const swaying = (wire: Listener): Promise<Heard> =>
  wire.next('movement of the yoke', ({ universe, slots }) => universe === 2 && slots[0] !== YOKE[0], 0);

describe('the rate at the wire', () => {
  it('is never above 44 packets a second and universe, however often a button is pressed', async () => {
    const wire = await Listener.open();
    const capture = await Capture.start(`udp dst port ${wire.address.split(':')[1]}`);
    const node = await NodeProcess.start({ show: swayingShow, sacn: wire.address, more: ['--rate', '44'] });
    await swaying(wire);
    for (let i = 0; pans(wire).length < 150; i++) {
      await node.command({ do: i % 2 === 0 ? 'press' : 'release', button: 'full' });
    }
    await node.stop();
    await capture.end();
    wire.close();

    const packets = capture.dissect(['frame.time_epoch', 'acn.dmx.options'], 'acn.dmx.universe == 2 and acn.dmx.options == 0');
    const times = packets.map((packet) => Number(packet['frame.time_epoch'][0]));
    expect(times.length).toBeGreaterThan(100);
    // From any packet to the 44th after it goes a second; of all of them together the jitter is lost.
    const tooFast = times.filter((at, i) => (times[i + FASTEST] ?? Number.POSITIVE_INFINITY) - at < 1 - JITTER);
    expect(tooFast).toEqual([]);
    const perSecond = (times.length - 1) / ((times.at(-1) ?? 0) - (times[0] ?? 0));
    expect(perSecond).toBeLessThanOrEqual(FASTEST * 1.01);
  });

  it('is what the option says when everything moves', async () => {
    const wire = await Listener.open();
    const node = await NodeProcess.start({ show: swayingShow, sacn: wire.address, more: ['--rate', '10'] });
    const { at: begin } = await swaying(wire);
    const { at: end } = await wire.next('packet two seconds later', ({ at }) => at > begin + 2000, 0);
    const perSecond = (pans(wire).filter(({ at }) => at > begin && at <= end).length * 1000) / (end - begin);
    expect(perSecond).toBeGreaterThan(8);
    expect(perSecond).toBeLessThan(11);
    await node.stop();
    wire.close();
  });
});
