import { describe, expect, it } from 'vitest';
import { Notices } from '../../node/outputs/notices.ts';

function started() {
  const log: string[] = [];
  const notices = new Notices('Output "main"', (line) => log.push(line));
  return { log, notices };
}

describe('what an output has to say', () => {
  it('is written with who says it', () => {
    const { log, notices } = started();
    notices.begin(0);
    notices.say('the cable is out.');
    expect(log).toEqual(['Output "main": the cable is out.']);
  });

  it('is written four times a minute at most, and then counted, however often a cable flaps', () => {
    const { log, notices } = started();
    for (let now = 0; now < 600_000; now += 100) {
      notices.begin(now);
      notices.say(now % 200 === 0 ? 'out.' : 'in.');
    }
    expect(log.length).toBeLessThanOrEqual(2 * 5 * 11);
    expect(log.filter((line) => line === 'Output "main": out. (296 times more within a minute)')).toHaveLength(9);
  });

  it('has its count written even if nothing more is said', () => {
    const { log, notices } = started();
    for (let i = 0; i < 6; i++) notices.say('out.');
    notices.begin(59_999);
    expect(log).toHaveLength(4);
    notices.begin(60_000);
    expect(log.slice(4)).toEqual(['Output "main": out. (2 times more within a minute)']);
    notices.begin(200_000);
    notices.say('out.');
    expect(log.slice(5)).toEqual(['Output "main": out.']);
  });

  it('stays bounded in memory, whatever is said', () => {
    const { log, notices } = started();
    for (let i = 0; i < 10_000; i++) notices.say(`line ${i}`);
    expect(log).toHaveLength(10_000);
  });
});
