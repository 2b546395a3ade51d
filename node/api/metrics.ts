import type { Millis } from '../core/units.ts';
import type { EngineReport } from '../engine/messages.ts';
import type { Trouble } from './contract.ts';

/** What is measured of a node at an instant. */
export interface Measured {
  readonly version: string;
  readonly show: string;
  readonly startedAt: Millis;
  readonly report: EngineReport | undefined;
  /** Phones that are connected now. */
  readonly connected: number;
  readonly troubles: readonly Trouble[];
  readonly residentBytes: number;
  readonly cpuSeconds: number;
  /** Undefined where the system has no /proc. */
  readonly openFiles: number | undefined;
}

type Labels = Readonly<Record<string, string>>;
type Sample = readonly [labels: Labels, value: number];

/** Prometheus' text format 0.0.4 (its documentation, "Exposition formats"): seconds and bytes, counters end in `_total`. */
export function metricsOf(measured: Measured): string {
  const { version, show, startedAt, report, connected, troubles, residentBytes, cpuSeconds, openFiles } = measured;
  const outputs = report?.outputs ?? [];
  const perOutput = (value: (of: (typeof outputs)[number]) => number): Sample[] =>
    outputs.map((of) => [{ output: of.id, protocol: of.protocol }, value(of)]);
  const errors = outputs.flatMap(({ id, protocol, errors }) =>
    errors.map(({ code, count }): Sample => [{ output: id, protocol, code }, count]),
  );
  const one = (value: number | undefined): Sample[] => (value === undefined ? [] : [[{}, value]]);
  return [
    metric('duskhand_info', 'gauge', 'Version of the program and name of the show that plays.', [[{ version, show }, 1]]),
    metric('duskhand_frames_total', 'counter', 'Frames drawn since the start.', one(report?.frames)),
    metric(
      'duskhand_frame_interval_seconds_max',
      'gauge',
      'Longest distance between two frames in the last half second.',
      one(report && report.worstInterval / 1000),
    ),
    metric(
      'duskhand_output_up',
      'gauge',
      'Whether an output sends.',
      perOutput(({ state }) => (state === 'sending' ? 1 : 0)),
    ),
    metric(
      'duskhand_output_packets_total',
      'counter',
      'Datagrams handed to the system.',
      perOutput(({ packets }) => packets),
    ),
    metric(
      'duskhand_output_dropped_total',
      'counter',
      'Datagrams dropped without a link.',
      perOutput(({ dropped }) => dropped),
    ),
    metric('duskhand_output_errors_total', 'counter', 'Sends that the system refused, by its code.', errors),
    metric('duskhand_remotes_connected', 'gauge', 'Phones that are connected.', one(connected)),
    metric('duskhand_troubles', 'gauge', 'Troubles that screens show.', one(troubles.length)),
    metric('process_start_time_seconds', 'gauge', 'Start of the process since the epoch.', one(startedAt / 1000)),
    metric('process_resident_memory_bytes', 'gauge', 'Resident memory.', one(residentBytes)),
    metric('process_cpu_seconds_total', 'counter', 'Processor time, user and system.', one(cpuSeconds)),
    metric('process_open_fds', 'gauge', 'Open file descriptors.', one(openFiles)),
  ].join('');
}

function metric(name: string, type: 'counter' | 'gauge', help: string, samples: readonly Sample[]): string {
  if (samples.length === 0) return '';
  const lines = samples.map(([labels, value]) => `${name}${labelsOf(labels)} ${value}\n`);
  return `# HELP ${name} ${help}\n# TYPE ${name} ${type}\n${lines.join('')}`;
}

function labelsOf(labels: Labels): string {
  const pairs = Object.entries(labels).map(([name, value]) => `${name}="${escaped(value)}"`);
  return pairs.length === 0 ? '' : `{${pairs.join(',')}}`;
}

const escaped = (value: string): string => value.replaceAll('\\', '\\\\').replaceAll('"', '\\"').replaceAll('\n', '\\n');
