import { readFileSync } from 'node:fs';
import { basename, resolve } from 'node:path';
import type { Command } from 'commander';
import type { ImportedType, ReadAgain, TypeRow } from '../api/local-contract.ts';
import { InputError } from '../core/errors.ts';
import { systemWords } from '../core/system-words.ts';
import { NodeClient, READ_WITHIN } from './client.ts';

type DataOption = readonly [flags: string, description: string, standard: string];

/** What these commands do in the store of a folder that no node has open. */
export interface OfflineTypes {
  readonly keepType: (folder: string, bytes: Buffer, name: string) => Promise<ImportedType>;
  /** @throws (rejects with) InputError where its file cannot be read any more */
  readonly readTypeAgain: (folder: string, id: string) => Promise<ReadAgain>;
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
    .description('list the fixture types that a show may name, with their modes; or tell all that is known of one')
    .argument('[id]')
    .option(...data)
    .action(async (id: string | undefined, options: { data: string }) => {
      const folder = resolve(options.data);
      const node = new NodeClient(folder);
      const rows = (await node.isRunning()) ? ((await node.get('types')) as TypeRow[]) : (await offline()).types(folder);
      print(...(id === undefined ? rows.map(typeLine) : typeInWords(rows, id)));
    });

  duskhand
    .command('read-types-again')
    .description('read the kept files of imported types again, as this version does; shows keep the types that they carry')
    .argument('[id...]', 'these types alone')
    .option(...data)
    .action(async (ids: string[], options: { data: string }) => {
      const folder = resolve(options.data);
      const node = new NodeClient(folder);
      const runs = await node.isRunning();
      const { types, readTypeAgain } = await offline();
      const rows = runs ? ((await node.get('types')) as TypeRow[]) : types(folder);
      const imported = rows.filter(({ from }) => from === 'import').map(({ id }) => id);
      const unknown = ids.find((id) => !imported.includes(id));
      if (unknown !== undefined) throw new InputError(`There is no imported type "${unknown}"`);
      const again = async (id: string): Promise<ReadAgain> =>
        runs
          ? ((await node.post(`types/${encodeURIComponent(id)}/again`, {}, READ_WITHIN)) as ReadAgain)
          : await readTypeAgain(folder, id);
      if (imported.length === 0) print('No type is imported');
      for (const id of ids.length > 0 ? ids : imported) print(...(await againInWords(id, again(id))));
    });
}

/** A file that cannot be read any more leaves the others to be read. */
async function againInWords(id: string, reading: Promise<ReadAgain>): Promise<string[]> {
  try {
    const { changed, left } = await reading;
    if (!changed) return [`${id}: as before`];
    return [`${id}: read anew; shows have it when they are imported again`, ...left.map((line) => `  ${line}`)];
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    return [`${id}: stays as it is. ${error.message}`];
  }
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

/** All that is known of one type. @throws InputError where there is none of that id */
export function typeInWords(rows: readonly TypeRow[], id: string): string[] {
  // An imported type goes before one of the library.
  const row = rows.findLast((one) => one.id === id);
  if (row === undefined) throw new InputError(`There is no fixture type "${id}"; "duskhand types" lists them`);
  const widest = Math.max(0, ...row.facts.map(({ what }) => what.length));
  return [
    `${row.id}  ${row.name}${row.from === 'import' ? ' (imported)' : ''}`,
    ...row.modes.map((mode) => `  mode ${mode.id}: ${mode.name}, ${counted(mode.channels)}`),
    ...row.facts.map(({ what, value }) => `  ${what.padEnd(widest)}  ${value}`),
  ];
}
