import { readFileSync } from 'node:fs';
import { basename, resolve } from 'node:path';
import type { Command } from 'commander';
import type { ImportedType, TypeRow } from '../api/local-contract.ts';
import { InputError } from '../core/errors.ts';
import { systemWords } from '../core/system-words.ts';
import { NodeClient } from './client.ts';

type DataOption = readonly [flags: string, description: string, standard: string];

/** What these commands do in the store of a folder that no node has open. */
export interface OfflineTypes {
  readonly keepType: (folder: string, bytes: Buffer, name: string) => Promise<ImportedType>;
  readonly types: (folder: string) => readonly TypeRow[];
}

/** Commands about kinds of fixtures. */
export function addTypeCommands(
  duskhand: Command,
  offline: () => Promise<OfflineTypes>,
  data: DataOption,
  print: (...lines: readonly string[]) => void,
): void {
  duskhand
    .command('import-type')
    .description('keep a fixture type from a GDTF file (.gdtf), for shows to name')
    .argument('<file>')
    .option(...data)
    .action(async (file: string, options: { data: string }) => {
      const bytes = readBytes(file);
      const name = basename(file);
      const folder = resolve(options.data);
      const node = new NodeClient(folder);
      const kept = (await node.isRunning())
        ? ((await node.send(`types?name=${encodeURIComponent(name)}`, bytes)) as ImportedType)
        : await (await offline()).keepType(folder, bytes, name);
      print(...importInWords(kept));
    });

  duskhand
    .command('types')
    .description('list the fixture types that a show may name, with their modes')
    .option(...data)
    .action(async (options: { data: string }) => {
      const folder = resolve(options.data);
      const node = new NodeClient(folder);
      const rows = (await node.isRunning()) ? ((await node.get('types')) as TypeRow[]) : (await offline()).types(folder);
      print(...rows.map(typeLine));
    });
}

function readBytes(file: string): Buffer {
  try {
    return readFileSync(file);
  } catch (error) {
    throw new InputError(`${file} cannot be read: ${systemWords(error)}`);
  }
}

const counted = (channels: number): string => `${channels} ${channels === 1 ? 'channel' : 'channels'}`;

export function importInWords({ id, name, modes, left }: ImportedType): string[] {
  return [
    `"${name}" is kept as type ${id}`,
    ...modes.map((mode) => `  mode ${mode.id}: ${mode.name}, ${counted(mode.channels)}`),
    ...(left.length === 0 ? ['Everything in the file is used'] : ['What of it is not used, or is taken otherwise:']),
    ...left.map((line) => `  ${line}`),
  ];
}

export const typeLine = ({ id, name, from, modes }: TypeRow): string =>
  `${id}  ${name}${from === 'import' ? ' (imported)' : ''}: ${modes.map((mode) => `${mode.id} (${mode.channels})`).join(', ')}`;
