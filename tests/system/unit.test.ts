import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';

const UNIT = fileURLToPath(new URL('../../systemd/duskhand.service', import.meta.url));
/** What is left at most of what a service could do to the machine, out of ten, by systemd's own measure. */
const MOST_EXPOSED = 1.5;

const judged = (): string | undefined => {
  try {
    return execFileSync('systemd-analyze', ['security', '--offline=true', '--no-pager', UNIT], { encoding: 'utf8', stdio: 'pipe' });
  } catch {
    return undefined;
  }
};
const text = judged();

describe('the unit', () => {
  it.skipIf(text === undefined)('leaves the service little by the measure of systemd-analyze security', () => {
    const exposure = /Overall exposure level for \S+: ([\d.]+)/.exec(text ?? '')?.[1];
    process.stdout.write(`exposure ${exposure} of 10\n`);
    expect(Number(exposure)).toBeLessThanOrEqual(MOST_EXPOSED);
  });

  it('is tried again however often it fails, and says that it is ready by itself', () => {
    const unit = readFileSync(UNIT, 'utf8').split('\n');
    for (const line of ['StartLimitIntervalSec=0', 'Restart=always', 'RestartSec=0', 'Type=notify', 'CapabilityBoundingSet='])
      expect(unit).toContain(line);
  });
});
