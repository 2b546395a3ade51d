/** One line to the journal. systemd adds the time. */
export function log(line: string): void {
  process.stderr.write(`${line}\n`);
}
