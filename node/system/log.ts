import { type Log, type Severity, severities } from '../core/ports.ts';
import { printable } from '../core/text.ts';
import type { Millis } from '../core/units.ts';

const COUNT_OVER: Millis = 60_000;

/** A log that hands every line to `write`: printable, and without its end. */
export function makeLog(write: (line: string, severity: Severity) => void): Log {
  /** By kind: what came since it was last spoken of. */
  const counted = new Map<string, { more: number; latest: string }>();
  const line = (text: string): void => write(printable(text), 'warning');

  const count = (kind: string): void => {
    counted.set(kind, { more: 0, latest: '' });
    setTimeout(() => sumUp(kind), COUNT_OVER).unref();
  };
  const sumUp = (kind: string): void => {
    const { more, latest } = counted.get(kind) ?? { more: 0, latest: '' };
    counted.delete(kind);
    if (more === 0) return;
    line(`${more} more like this within a minute; the last: ${latest}`);
    count(kind);
  };
  const once = (kind: string, text: string): void => {
    const known = counted.get(kind);
    if (known === undefined) {
      line(text);
      count(kind);
    } else {
      known.more++;
      known.latest = text;
    }
  };
  return Object.assign(line, {
    error: (text: string): void => write(printable(text), 'error'),
    info: (text: string): void => write(printable(text), 'info'),
    once,
  });
}

// A journal that is gone or a pipe that nobody reads any more costs lines, not light.
for (const stream of [process.stdout, process.stderr]) stream.on('error', () => undefined);

let least: Severity = 'info';

/** Lines that matter less than `severity` are left out from now on. */
export function logFrom(severity: Severity): void {
  least = severity;
}

/** In the journal every line has its severity, as sd-daemon(3) writes it: `journalctl -p warning` finds those that matter. */
const mark = (severity: Severity): string => (process.env.JOURNAL_STREAM === undefined ? '' : `<${severities[severity]}>`);

/** To the journal. systemd adds the time. */
export const log: Log = makeLog((line, severity) => {
  if (severities[severity] <= severities[least]) process.stderr.write(`${mark(severity)}${line}\n`);
});
