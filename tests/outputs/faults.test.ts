import { describe, expect, it } from 'vitest';
import { Faults } from '../../node/outputs/faults.ts';
import { Notices } from '../../node/outputs/notices.ts';

function started(): { faults: Faults; log: string[]; flush: (now: number, sent?: number, ...errors: string[]) => void } {
  const log: string[] = [];
  const faults = new Faults(new Notices('sACN output "main"', (line) => log.push(line)));
  const flush = (now: number, sent = 1, ...errors: string[]): void => {
    faults.begin(now);
    faults.end(sent);
    for (const code of errors) faults.record(code);
  };
  return { faults, log, flush };
}

describe('faults of an output', () => {
  it('are counted by code, with the time of the flush that they followed', () => {
    const { faults, flush } = started();
    flush(1000, 1, 'ENETUNREACH', 'ENETUNREACH');
    flush(1025, 1, 'ENOBUFS');
    flush(1050);
    expect(faults.list()).toEqual([
      { code: 'ENETUNREACH', count: 2, lastAt: 1000 },
      { code: 'ENOBUFS', count: 1, lastAt: 1025 },
    ]);
  });

  it('are logged in plain words when they begin and when they have healed, and not in between', () => {
    const { faults, log, flush } = started();
    for (let now = 0; now < 10_000; now += 25) flush(now, 1, 'ENETUNREACH');
    expect(faults.state(false)).toBe('failing');
    expect(log).toHaveLength(1);
    expect(log[0]).toMatch(/^sACN output "main": there is no way to that network \(ENETUNREACH\)\. Lights /);
    for (let now = 10_000; now < 20_000; now += 25) flush(now);
    expect(faults.state(false)).toBe('sending');
    expect(log).toHaveLength(2);
    expect(log[1]).toBe('sACN output "main": sends go through again and the lights follow. 400 failed within 10 s.');
  });

  it('have healed after two seconds of sends without error, not before', () => {
    const { faults, flush } = started();
    flush(0, 1, 'EPERM');
    for (let now = 25; now < 2000; now += 25) flush(now);
    expect(faults.state(false)).toBe('failing');
    flush(2000);
    expect(faults.state(false)).toBe('sending');
  });

  it('do not heal by silence: only sends can prove it', () => {
    const { faults, log, flush } = started();
    flush(0, 1, 'EPERM');
    for (let now = 25; now < 60_000; now += 25) flush(now, 0);
    expect(faults.state(false)).toBe('failing');
    expect(faults.state(true)).toBe('waiting');
    flush(60_000);
    expect(log).toHaveLength(1);
    flush(60_025);
    expect(log).toHaveLength(2);
  });

  it('a code without words of its own is named all the same', () => {
    const { log, flush } = started();
    flush(0, 1, 'EWHATEVER');
    expect(log[0]).toContain('(EWHATEVER)');
  });

  it('of a link are told of only when they last three seconds, and not at all when the links changed before', () => {
    const short = started();
    for (let now = 0; now < 2900; now += 25) short.flush(now, 1, 'ENETUNREACH');
    expect(short.log).toHaveLength(0);
    expect(short.faults.list()[0]?.count).toBe(116);
    short.faults.relinked();
    for (let now = 2900; now < 10_000; now += 25) short.flush(now);
    expect(short.log).toHaveLength(0);

    const long = started();
    for (let now = 0; now <= 3100; now += 25) long.flush(now, 1, 'ENETUNREACH');
    expect(long.log).toHaveLength(1);
    long.faults.relinked();
    for (let now = 3125; now < 10_000; now += 25) long.flush(now);
    expect(long.log).toHaveLength(2);
  });
});
