import { readFileSync } from 'node:fs';
import type { Worker } from 'node:worker_threads';
import { program, type RunOptions } from './cli/program.ts';
import { InputError, problemLine } from './core/errors.ts';
import { printable } from './core/text.ts';
import { ARTNET_CREDIT } from './outputs/artnet/packets.ts';

const { version } = JSON.parse(readFileSync(new URL('../../package.json', import.meta.url), 'utf8')) as { version: string };
const text = (lines: readonly string[]): string => lines.map((line) => `${printable(line)}\n`).join('');
const print = (...lines: readonly string[]): void => void process.stdout.write(text(lines));
const note = (...lines: readonly string[]): void => void process.stderr.write(text(lines));

/** Carries out what the command line says. @param engine the thread of a node that is to run; it ends where nothing comes of that */
export async function enter(engine: Worker | undefined): Promise<void> {
  const started = async (options: RunOptions): Promise<void> => {
    const { run } = await import('./run.ts');
    if (engine !== undefined) await run(options, { engine, version, print });
  };
  const offline = async () => (await import('./offline.ts')).offline;
  try {
    await program({ run: started, offline }, { print, note, version, credit: ARTNET_CREDIT }).parseAsync();
  } catch (error) {
    await engine?.terminate();
    if (!(error instanceof InputError)) throw error;
    note(error.message, ...error.problems.map((one) => `  ${problemLine(one)}`));
    process.exitCode = 1;
  }
}
