import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { makeLog } from '../../node/system/log.ts';

beforeEach(() => void vi.useFakeTimers());
afterEach(() => void vi.useRealTimers());

describe('what strangers can bring about', () => {
  it('is written once, then counted by the minute, and is news again after a quiet minute', () => {
    const lines: string[] = [];
    const log = makeLog((line) => lines.push(line));
    for (let i = 1; i <= 1000; i++) log.once('knock', `Knock ${i}`);
    log.once('ring', 'Ring');
    expect(lines).toEqual(['Knock 1', 'Ring']);
    vi.advanceTimersByTime(60_000);
    expect(lines.slice(2)).toEqual(['999 more like this within a minute; the last: Knock 1000']);
    log.once('knock', 'Knock 1001');
    expect(lines).toHaveLength(3);
    vi.advanceTimersByTime(60_000);
    expect(lines.slice(3)).toEqual(['1 more like this within a minute; the last: Knock 1001']);
    vi.advanceTimersByTime(60_000);
    log.once('knock', 'Knock again');
    expect(lines.slice(4)).toEqual(['Knock again']);
  });

  it('is a warning beside what ends something and what is as it should be', () => {
    const lines: string[] = [];
    const log = makeLog((line, severity) => lines.push(`${severity}: ${line}`));
    log('The cable is out');
    log.once('knock', 'Knock');
    log.error('The engine has died\n');
    log.info('Playing "\u001b"');
    expect(lines).toEqual([
      'warning: The cable is out',
      'warning: Knock',
      'error: The engine has died\\n',
      'info: Playing "\\u001b"',
    ]);
  });

  it('is one line without commands to a terminal, whatever a name holds', () => {
    const lines: string[] = [];
    const log = makeLog((line) => lines.push(line));
    log('Playing "\u001b[2J\u202eevil\nThe lights are out"');
    expect(lines).toEqual(['Playing "\\u001b[2J\\u202eevil\\nThe lights are out"']);
  });
});
