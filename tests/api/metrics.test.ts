import { describe, expect, it } from 'vitest';
import { metricsOf } from '../../node/api/metrics.ts';
import type { OutputReport } from '../../node/core/report.ts';

const output = (more: Partial<OutputReport>): OutputReport => ({
  ...{ id: 'a', protocol: 'sacn', state: 'sending', towards: 'multicast', packets: 7, dropped: 0, errors: [], universes: [] },
  ...more,
});
const measured = {
  ...{ version: '1.2.3', show: 'Plain', startedAt: 1_700_000_000_500, connected: 2, troubles: [] },
  ...{ residentBytes: 90_000_000, cpuSeconds: 1.5, openFiles: 31, report: undefined },
};
const report = (outputs: readonly OutputReport[]) => ({
  at: 1,
  frames: 400,
  worstInterval: 26,
  outputs,
  unsent: [],
  guards: [],
  kept: {},
});

/** A line of a sample, as Prometheus' documentation of its text format 0.0.4 has it: name, labels in quotes with three escapes, a number. */
const SAMPLE =
  /^[a-zA-Z_:][a-zA-Z0-9_:]*(\{[a-zA-Z_][a-zA-Z0-9_]*="(\\[\\"n]|[^\\"\n])*"(,[a-zA-Z_][a-zA-Z0-9_]*="(\\[\\"n]|[^\\"\n])*")*\})? -?[0-9.e+-]+$/;

describe('what is measured', () => {
  it('is in the text format of Prometheus: each metric once, with its help and type before its samples', () => {
    const errors = [{ code: 'ENETUNREACH', count: 3, lastAt: 1 }];
    const text = metricsOf({ ...measured, report: report([output({}), output({ id: 'b', state: 'failing', errors })]) });
    expect(text.endsWith('\n')).toBe(true);
    let current = '';
    const seen = new Set<string>();
    for (const line of text.trimEnd().split('\n')) {
      const [, kind, name = ''] = /^# (HELP|TYPE) (\S+) ./.exec(line) ?? [];
      if (kind === 'HELP') {
        expect(seen).not.toContain(name);
        seen.add(name);
        current = name;
      } else if (kind === 'TYPE') expect(line).toMatch(new RegExp(`^# TYPE ${current} (counter|gauge)$`));
      else {
        expect(line).toMatch(SAMPLE);
        expect(line.startsWith(current)).toBe(true);
      }
    }
    expect(text).toContain('\nduskhand_output_packets_total{output="a",protocol="sacn"} 7\n');
    expect(text).toContain('\nduskhand_output_up{output="b",protocol="sacn"} 0\n');
    expect(text).toContain('\nduskhand_output_errors_total{output="b",protocol="sacn",code="ENETUNREACH"} 3\n');
    expect(text).toContain('\nduskhand_frame_interval_seconds_max 0.026\n');
    expect(text).toContain('\nprocess_start_time_seconds 1700000000.5\n');
  });

  it('leaves out what is not known, and names may hold anything', () => {
    const text = metricsOf({ ...measured, openFiles: undefined, show: 'A "b" \\ c\nd' });
    expect(text).not.toContain('duskhand_frames_total');
    expect(text).not.toContain('process_open_fds');
    expect(text).toContain('duskhand_info{version="1.2.3",show="A \\"b\\" \\\\ c\\nd"} 1\n');
  });
});
