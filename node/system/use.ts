import { readdirSync } from 'node:fs';

/** What this process uses of the machine: bytes, seconds of processors since its start, files. */
export function usedByProcess(): {
  readonly residentBytes: number;
  readonly cpuSeconds: number;
  readonly openFiles: number | undefined;
} {
  const { user, system } = process.cpuUsage();
  return { residentBytes: process.memoryUsage.rss(), cpuSeconds: (user + system) / 1e6, openFiles: openFiles() };
}

function openFiles(): number | undefined {
  try {
    return readdirSync('/proc/self/fd').length;
  } catch {
    return undefined;
  }
}
