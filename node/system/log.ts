import type { Log } from '../core/ports.ts';
import { printable } from '../core/text.ts';
import type { Millis } from '../core/units.ts';

const COUNT_OVER: Millis = 60_000;

/** A log that hands every line to `write`: printable, and without its end. */
export function makeLog(write: (line: string) => void): Log {
  /** By kind: what came since it was last spoken of. */
  const counted = new Map<string, { more: number; latest: string }>();
  const line = (text: string): void => write(printable(text));

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
  return Object.assign(line, { once });
}

// A journal that is gone or a pipe that nobody reads any more costs lines, not light.
for (const stream of [process.stdout, process.stderr]) stream.on('error', () => undefined);

/** To the journal. systemd adds the time. */
export const log: Log = makeLog((line) => void process.stderr.write(`${line}\n`));
