import { describe, expect, it } from 'vitest';
import type { Status } from '../../node/api/local-contract.ts';
import { statusInWords } from '../../node/cli/status-in-words.ts';

const status: Status = {
  now: 1,
  hazeAllowed: false,
  crew: false,
  flashes: 3,
  node: { name: 'Duskhand on box', version: '1.2.3', startedAt: 0 },
  show: { id: 'barn', name: 'Barn', revision: 4 },
  playing: [
    {
      item: 'look:dinner',
      name: 'Dinner',
      button: null,
      unattended: true,
      state: 'on',
      weight: 1,
      isUnderneath: false,
      startedAt: 0,
    },
    {
      item: 'look:toasts',
      name: 'Toasts',
      button: 'toasts',
      unattended: true,
      state: 'coming',
      weight: 0.305,
      isUnderneath: false,
      startedAt: 0,
    },
  ],
  buttons: [
    { id: 'toasts', name: 'Toasts', line: 'Warm at the table', state: 'coming' },
    { id: 'dance', name: 'Dance', line: '', state: 'off' },
  ],
  masters: { all: 0.5, groups: {} },
  blackout: false,
  bpm: 119.6,
  watch: { phase: 'free', fallback: 'blackout', canResume: false },
  troubles: [],
  frames: 80,
  rate: 40,
  universes: [{ universe: 1, levels: [1, 2, 3] }],
  outputs: [
    {
      id: 'main',
      protocol: 'sacn',
      state: 'failing',
      towards: 'multicast on eth0',
      packets: 12,
      dropped: 3,
      errors: [{ code: 'ENETUNREACH', count: 7, lastAt: 0 }],
      universes: [],
    },
  ],
};

const inWords = (of: Status): string => statusInWords(of).join('\n');

describe('a status in words', () => {
  it('says what plays, what goes out and what fails', () => {
    const lines = statusInWords(status);
    expect(lines).toContain('Barn (revision 4), 80 frames at 40/s');
    expect(lines).toContain('Master 50 %, 120 beats a minute');
    expect(lines).toContain('  Dinner  on');
    expect(lines).toContain('  Toasts  coming 31 %');
    expect(lines.some((line) => /^ +coming +Toasts: Warm at the table$/.test(line))).toBe(true);
    expect(lines.some((line) => /^ +Dance$/.test(line))).toBe(true);
    expect(lines).toContain('  main: failing to multicast on eth0, 12 packets, 3 dropped while the link was away');
    expect(lines).toContain('    there is no way to that network (ENETUNREACH), 7 times');
  });

  it('says that a blackout holds the lights, and that nothing plays', () => {
    const text = inWords({ ...status, blackout: true, playing: [] });
    expect(text).toContain('Blackout: all lights are held dark');
    expect(text).not.toContain('Master');
    expect(text).toContain('Nothing plays');
  });

  it('says that nobody is there, what that came to, and what is in trouble', () => {
    expect(inWords(status)).not.toMatch(/Nobody|fallback|Trouble/);
    const warned = inWords({ ...status, watch: { phase: 'warned', at: 2, fallback: 'Lights up', canResume: false } });
    expect(warned).toContain('Nobody has been heard of for a while: soon the fallback comes (Lights up)');
    const fallen = inWords({ ...status, watch: { phase: 'fallen', at: 1, fallback: 'blackout', canResume: false } });
    expect(fallen).toContain('The fallback has come (blackout); "duskhand resume" brings back what it took away');
    const troubles = [{ id: 'x', happened: 'The cable is out.', guestsSee: 'It is dark.', todo: 'Plug it in.' }];
    expect(inWords({ ...status, troubles })).toContain('\nTrouble: The cable is out. It is dark. Plug it in.\n');
  });
});
