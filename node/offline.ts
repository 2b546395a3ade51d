import { importedFrom } from './api/imported.ts';
import { TypeReader } from './api/type-reader.ts';
import { typeRows } from './api/type-rows.ts';
import type { Offline } from './cli/program.ts';
import { patchShow } from './plan/patch/document.ts';
import { compileShow } from './playback/compile.ts';
import type { FixtureType } from './rig/fixture-type.ts';
import type { ReadFile } from './rig/gdtf/read.ts';
import { checkShow, parseJson, readShow, showSchema } from './show/read.ts';
import { keepType, renewType, typesIn, typesOf } from './store/fixture-files.ts';
import { keepSettings, settingsIn, takeOverIn } from './store/settings.ts';
import { fetchShow, keepShow, readText, showFileJson, writeNewText } from './store/show-files.ts';
import { systemClock as clock } from './system/clock.ts';

/** What the command line does without a node that runs. */
export const offline: Offline = {
  check: (file, folder) => {
    const { show, rig } = compileShow(checkShow(showFileJson(file, typesOf(folder))));
    return `${show.name}: ${show.fixtures.length} fixtures on universes ${rig.universes.join(', ')}, ${show.looks.length} looks, ${show.buttons.length} buttons. No mistakes found.`;
  },
  schema: () => JSON.stringify(showSchema(), null, 2),
  patch: (file, { write, data, ...how }) => {
    const { words, json } = patchShow(readText(file), how, typesOf(data));
    if (write !== undefined) writeNewText(write, json);
    return words;
  },
  read: (file, folder) => {
    const json = showFileJson(file, typesOf(folder));
    checkShow(json);
    return json;
  },
  keep: (folder, document) => {
    const { show, outputs } = readShow(document);
    const brought = keepShow(folder, show, clock.wall());
    return importedFrom(brought, takeOverIn(folder, outputs));
  },
  fetch: fetchShow,
  keepType: async (folder, bytes, name) => {
    const { json, row, images } = await new TypeReader().read(bytes);
    const type = JSON.parse(json) as FixtureType;
    return { ...row, id: keepType(folder, bytes, name, { type, images }, clock.wall()).id };
  },
  readTypeAgain: async (folder, id) => {
    let left: readonly string[] = [];
    const read = async (bytes: Buffer): Promise<ReadFile> => {
      const { json, row, images } = await new TypeReader().read(bytes);
      left = row.left;
      return { type: JSON.parse(json) as FixtureType, images };
    };
    return { changed: (await renewType(folder, id, read, clock.wall())) === true, left };
  },
  types: (folder) => typeRows(typesIn(folder)),
  settings: settingsIn,
  keepSettings,
  readJson: (file) => parseJson(readText(file)),
};
