import { describe, expect, test } from 'vitest';
import type { WireReport } from '../../node/api/contract.ts';
import type { OutputReport } from '../../node/core/report.ts';
import { agoWords, answer, faultWords, healthOf, intervalWords, reportWords } from '../../ui/src/wire/health.ts';

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
    [output('sacn', 'sending'), 'well'],
    [output('artnet', 'sending'), 'well'],
    [output('artnet', 'sending', 0, '192.0.2.7 on eth0; no node takes universe 3'), 'waits'],
    [output('artnet', 'waiting'), 'waits'],
    [output('sacn', 'waiting', 12), 'waits'],
    [output('sacn', 'failing'), 'fails'],
  ] as const)('%#', (of, state) => {
    expect(healthOf(of).state).toBe(state);
  });

  test('the answer on top is as good as the worst of it', () => {
    expect(answer(report([output('sacn', 'sending')]), 25).state).toBe('well');
    expect(answer(report([output('sacn', 'sending'), output('artnet', 'waiting')]), 25).state).toBe('waits');
    expect(answer(report([output('sacn', 'failing'), output('artnet', 'sending')]), 25).state).toBe('fails');
    expect(answer(report([]), 25).state).toBe('fails');
  });

  test('somebody else on our universes is said on top, even when all goes well', () => {
    const said = answer(report([output('sacn', 'sending')], [stranger, { ...stranger, universe: 1 }, stranger]), 25);
    expect(said.state).toBe('waits');
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

  test.each([
    [0, 'just now'],
    [30_000, '30 seconds ago'],
    [600_000, '10 minutes ago'],
    [2 * 3_600_000, '2 hours ago'],
  ])('%i ms', (millis, words) => {
    expect(agoWords(millis)).toBe(words);
  });

  test('frames that keep their distance are steady', () => {
    // 40 a second: 25 ms planned
    expect(intervalWords(26, 40)).toBe('steady');
    expect(intervalWords(60, 40)).toContain('a little late');
    expect(intervalWords(900, 40)).toContain('late');
    expect(intervalWords(0, 40)).toContain('no frame');
  });
});
