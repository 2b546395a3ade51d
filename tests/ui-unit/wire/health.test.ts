import { describe, expect, test } from 'vitest';
import type { WireReport } from '../../../node/api/contract.ts';
import type { OutputReport } from '../../../node/core/report.ts';
import { healthOf } from '../../../ui/src/parts/output-health.ts';
import { answer, faultWords, intervalWords, reportWords } from '../../../ui/src/wire/health.ts';
import { lamp } from './fixtures.ts';

const output = (protocol: 'sacn' | 'artnet', state: OutputReport['state'], dropped = 0, towards = 'eth0'): OutputReport => ({
  id: protocol,
  protocol,
  state,
  towards,
  packets: 1,
  dropped,
  errors: [],
  universes: [],
});
const report = (outputs: OutputReport[], sources: WireReport['sources'] = []): WireReport => ({
  type: 'wire',
  outputs,
  frames: 1,
  rate: 40,
  worstInterval: 25,
  sources,
});
const stranger = {
  protocol: 'sacn',
  universe: 2,
  name: 'Demo desk',
  address: '192.0.2.9',
  priority: 150,
  perSecond: 44,
  meaning: '',
  lastSeenAt: 0,
} as const;

describe('how an output fares', () => {
  test.each([
    ['sACN that sends', output('sacn', 'sending'), 'well'],
    ['Art-Net that sends', output('artnet', 'sending'), 'well'],
    [
      'Art-Net with a universe that nobody takes',
      output('artnet', 'sending', 0, '192.0.2.7 on eth0; no node takes universe 3'),
      'waits',
    ],
    ['Art-Net without nodes', output('artnet', 'waiting'), 'waits'],
    ['sACN whose cable is out', output('sacn', 'waiting', 12), 'fails'],
    ['sACN that has sent nothing yet', { ...output('sacn', 'sending'), packets: 0 }, 'waits'],
    ['sACN that the system refuses', output('sacn', 'failing'), 'fails'],
  ] as const)('%s', (_, of, state) => {
    expect(healthOf(of).state).toBe(state);
  });

  const rig = [lamp('a', 'A', 'uplight', 1, 1, 3), lamp('b', 'B', 'spot', 2, 1, 3)];
  const sends = (protocol: 'sacn' | 'artnet', ...sent: [universe: number, at: number | null][]): OutputReport => ({
    ...output(protocol, 'sending'),
    universes: sent.map(([universe, lastSentAt]) => ({ universe, packets: 1, lastSentAt })),
  });

  test('the answer on top: every universe goes out by some way, though another waits', () => {
    const said = answer(report([sends('sacn', [1, 9000], [2, 9900]), output('artnet', 'waiting')]), rig, 10_000);
    expect(said.state).toBe('well');
    expect(said.words).toContain('Data for all 2 lights is being sent by sACN; whether it arrives cannot be seen from here.');
    expect(said.words).toContain('Art-Net waits');
    expect(said.words).toContain('Nobody else');
  });

  test('a universe that no way carries, or has not carried for seconds, is trouble, and says how many lights', () => {
    for (const last of [[], [[2, null]], [[2, 1000]]] as [number, number | null][][]) {
      const said = answer(report([sends('sacn', [1, 9000], ...last)]), rig, 10_000);
      expect(said.state).toBe('fails');
      expect(said.words).toContain('universe 2: 1 light gets nothing');
    }
    expect(answer(report([]), rig, 0).state).toBe('fails');
  });

  test('what is sent may be darkness, and that is said', () => {
    const all = report([sends('sacn', [1, 9000], [2, 9000])]);
    const seen = {
      type: 'seen',
      line: 'Dark: all lights are at 0 %.',
      dark: true,
      parts: [],
      sent: 'all',
      held: [],
      closed: [],
      hints: [],
    } as const;
    expect(answer(all, rig, 10_000, seen).words).toContain('What is sent is dark. Dark: all lights are at 0 %.');
  });

  test('a way out that fails is trouble, though another carries all', () => {
    const all = sends('sacn', [1, 9000], [2, 9000]);
    expect(answer(report([all, output('artnet', 'failing')]), rig, 10_000).state).toBe('fails');
  });

  test('somebody else on our universes is said on top, even when all goes well', () => {
    const all = sends('sacn', [1, 9000], [2, 9000]);
    const said = answer(report([all], [stranger, { ...stranger, universe: 1 }, stranger]), rig, 10_000);
    expect(said.state).toBe('care');
    expect(said.words).toContain('universes 1 and 2');
  });
});

describe('in words', () => {
  test('a node’s report without code and counter (Art-Net 4, table of ArtPollReply: "#xxxx [yyyy] text")', () => {
    expect(reportWords('#0001 [0042] Power On Tests successful')).toBe('Power On Tests successful');
    expect(reportWords('plain')).toBe('plain');
  });

  test('a fault with its meaning, its code and how often', () => {
    expect(faultWords({ code: 'ENETUNREACH', count: 3, lastAt: 1000 }, 13_000)).toBe(
      'there is no way to that network (ENETUNREACH), 3 times, 12 seconds ago',
    );
    expect(faultWords({ code: 'EWHATEVER', count: 1, lastAt: 0 }, 0)).toBe(
      'the system reports an error (EWHATEVER), once, just now',
    );
  });

  test('frames that keep their distance are steady', () => {
    // 40 a second: 25 ms planned
    expect(intervalWords(26, 40)).toBe('steady');
    expect(intervalWords(60, 40)).toContain('a little late');
    expect(intervalWords(900, 40)).toContain('late');
    expect(intervalWords(0, 40)).toContain('no frame');
  });
});
