#!/usr/bin/env node
import { readFileSync } from 'node:fs';
import { program } from './cli/program.ts';
import { InputError, problemLine } from './core/errors.ts';
import { printable } from './core/text.ts';
import { offline } from './offline.ts';
import { ARTNET_CREDIT } from './outputs/artnet/packets.ts';
import { run } from './run.ts';

const { version } = JSON.parse(readFileSync(new URL('../../package.json', import.meta.url), 'utf8')) as { version: string };
const text = (lines: readonly string[]): string => lines.map((line) => `${printable(line)}\n`).join('');
const print = (...lines: readonly string[]): void => void process.stdout.write(text(lines));
const note = (...lines: readonly string[]): void => void process.stderr.write(text(lines));

program({ run: (options) => run(options, { version, print }), ...offline }, { print, note, version, credit: ARTNET_CREDIT })
  .parseAsync()
  .catch((error: unknown) => {
    if (!(error instanceof InputError)) throw error;
    note(error.message, ...error.problems.map((one) => `  ${problemLine(one)}`));
    process.exitCode = 1;
  });
