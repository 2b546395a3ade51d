import { afterEach, describe, expect, it } from 'vitest';
import { endAll, NodeProcess } from '../helpers/node-process.ts';
import { Capture } from '../helpers/tshark.ts';
import { type Heard, Listener } from './listener.ts';
import { swayingShow, YOKE } from './plain-show.ts';

afterEach(endAll);

/** ANSI E1.11: 512 slots with break and mark take 22.676 ms; E1.31-2018 section 6.6.1 defers to it. */
const FASTEST = 44;
/** By how much one packet may be later than another on its way to the capture. */
const JITTER = 0.01;

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
      const command = { do: i % 2 === 0 ? 'press' : 'release', button: 'full' };
      const { status } = await node.ask('play/command', { method: 'POST', body: JSON.stringify(command) });
      expect(status).toBe(204);
    }
    await node.stop();
    await capture.end();
    wire.close();

    const packets = capture.dissect(['frame.time_epoch', 'acn.dmx.options'], 'acn.dmx.universe == 2 and acn.dmx.options == 0');
    const times = packets.map((packet) => Number(packet['frame.time_epoch'][0]));
    expect(times.length).toBeGreaterThan(100);
    // Any n packets further on, at least n periods have gone by.
    const tooFast = times.flatMap((at, i) =>
      times.slice(i + 1, i + 1 + FASTEST).filter((later, n) => later - at < (n + 1) / FASTEST - JITTER),
    );
    expect(tooFast).toEqual([]);
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
