import { describe, expect, it } from 'vitest';
import { HeardLevels } from '../../node/core/heard.ts';
import { artnetSettings, type OutputSettings, sacnSettings } from '../../node/core/output-settings.ts';
import type { ForeignReport, OutputReport } from '../../node/core/report.ts';
import type { SacnSource } from '../../node/monitor/messages.ts';
import { foreignSources } from '../../node/monitor/rows.ts';

const AT = Date.UTC(2030, 5, 15, 20);
const source = (rest: Partial<SacnSource> = {}): SacnSource => ({
  universe: 1,
  name: 'Tent',
  address: '192.0.2.7',
  priority: 100,
  perSecond: 40,
  lastSeenAt: AT,
  cid: '00',
  levels: new HeardLevels().memory,
  ...rest,
});
const sacn = (settings: object = {}): OutputSettings => sacnSettings.parse({ id: 'sacn', protocol: 'sacn', ...settings });
const artnet = (settings: object = {}): OutputSettings => artnetSettings.parse({ id: 'artnet', protocol: 'artnet', ...settings });
const stream = (rest: Partial<ForeignReport> = {}): ForeignReport => ({
  portAddress: 1,
  address: '192.0.2.8',
  perSecond: 30,
  lastSeenAt: AT,
  ...rest,
});
const report = (foreign: readonly ForeignReport[], rest: Partial<OutputReport> = {}): OutputReport => ({
  id: 'artnet',
  protocol: 'artnet',
  state: 'sending',
  towards: '',
  packets: 0,
  dropped: 0,
  errors: [],
  universes: [],
  foreign,
  ...rest,
});
const rows = (sources: readonly SacnSource[], outputs: readonly OutputSettings[], reports: readonly OutputReport[] = []) =>
  foreignSources(sources, reports, { universes: [1, 2, 3], outputs });
const meanings = (priorities: readonly number[], outputs: readonly OutputSettings[]) =>
  Object.fromEntries(
    rows(
      priorities.map((priority) => source({ priority })),
      outputs,
    ).map(({ priority, meaning }) => [priority, meaning]),
  );

const WINS = 'It wins: lights on this universe follow it, not this node.';
const TOGETHER = 'It wins together with others of its priority: lights follow them, not this node.';
const MIXES = 'Lights may mix both, or flicker.';
const OURS = 'Ours wins; it takes over if this node stops.';
const OURS_ANOTHER = 'Ours wins; another source takes over if this node stops.';
const OVERRULED = 'Another source wins over it and over this node.';

// E1.31-2018 section 6.2.3: the higher number wins; equal ones are the receiver's affair.
describe('a sACN source means', () => {
  it.each([
    [[101], { 101: WINS }],
    [[100], { 100: MIXES }],
    [[99], { 99: OURS }],
    [[0], { 0: OURS }],
    [[200], { 200: WINS }],
    [[150, 120, 100, 50], { 150: WINS, 120: OVERRULED, 100: OVERRULED, 50: OVERRULED }],
    [[150, 150], { 150: TOGETHER }],
    [[100, 50], { 100: MIXES, 50: OURS_ANOTHER }],
    [[60, 50], { 60: OURS, 50: OURS_ANOTHER }],
  ])('with priorities %j against our 100: %j', (priorities, told) => {
    expect(meanings(priorities, [sacn()])).toEqual(told);
  });

  it('another thing where our priority is another, and the highest of several outputs counts', () => {
    expect(meanings([100], [sacn({ priority: 50 })])).toEqual({ 100: WINS });
    expect(meanings([100], [sacn({ priority: 50 }), sacn({ id: 'b', priority: 120 })])).toEqual({ 100: OURS });
  });

  it('nothing for sources of other universes', () => {
    const told = rows([source({ universe: 1, priority: 150 }), source({ universe: 2, priority: 50 })], [sacn()]);
    expect(told.map(({ meaning }) => meaning)).toEqual([WINS, OURS]);
  });

  it('that lights follow it where we send no sACN', () => {
    const alone = 'This node sends no sACN here: lights that listen to sACN follow it.';
    expect(meanings([10], [artnet()])).toEqual({ 10: alone });
    expect(meanings([10], [sacn({ universes: [2] })])).toEqual({ 10: alone });
  });
});

describe('an Art-Net stream', () => {
  const meaning = 'Art-Net knows no priority: lights may mix both, or flicker.';

  it('is told of by the universe that we send on its Port-Address', () => {
    const told = rows([], [artnet({ portAddresses: { 2: 256 } })], [report([stream(), stream({ portAddress: 256 })])]);
    const common = { protocol: 'artnet', name: 'No name', address: '192.0.2.8', perSecond: 30, lastSeenAt: AT, meaning };
    expect(told).toEqual([
      { ...common, universe: 1, portAddress: 1 },
      { ...common, universe: 2, portAddress: 256 },
    ]);
  });

  it('is left out when the Port-Address is none of ours any more', () => {
    const reports = [report([stream({ portAddress: 9 }), stream({ portAddress: 2 })])];
    expect(rows([], [artnet({ universes: [1] })], reports)).toEqual([]);
    expect(rows([], [sacn()], reports)).toEqual([]);
  });

  it('bears the name that the device gave in its reply', () => {
    const node = {
      address: '192.0.2.8',
      bindIndex: 1,
      shortName: 'Box',
      longName: 'Box by the door',
      report: '',
      mac: '',
      outputs: [],
      refreshRate: 0,
      lastSeenAt: AT,
    };
    expect(rows([], [artnet()], [report([stream()], { nodes: [node] })])[0]?.name).toBe('Box by the door');
    expect(rows([], [artnet()], [report([stream()], { nodes: [{ ...node, longName: '' }] })])[0]?.name).toBe('Box');
  });
});

it('rows come by universe, then by who has most to say', () => {
  const told = rows(
    [source({ universe: 2 }), source({ name: 'B' }), source({ name: 'A' }), source({ name: 'C', priority: 150 })],
    [sacn(), artnet()],
    [report([stream()])],
  );
  expect(told.map(({ universe, name }) => `${universe} ${name}`)).toEqual(['1 C', '1 A', '1 B', '1 No name', '2 Tent']);
});
