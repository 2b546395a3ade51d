import { Router } from 'express';
import { InputError } from '../../core/errors.ts';
import { readShow } from '../../show/read.ts';
import type { Editor } from '../../store/edits.ts';
import type { Store } from '../../store/store.ts';
import type { Control } from '../control.ts';
import { type EditAnswer, editRequest } from '../edit-contract.ts';
import { importedFrom } from '../imported.ts';
import type { Imported } from '../local-contract.ts';
import type { NodeSettings } from '../node-settings.ts';

/** Shows as documents: in and out. */
export function showRoutes(control: Control, settings: NodeSettings, store: Pick<Store, 'ask'>): Router {
  const router = Router();
  router.post('/', async (request, response) => {
    const { show, outputs } = readShow(await store.ask('carryTypes', request.body));
    const note = await settings.takeOver(outputs);
    if (note !== undefined) control.settingsChanged();
    const brought = await control.import(show, 'import');
    response.json(importedFrom(brought, note) satisfies Imported);
  });
  router.post('/edit', async (request, response) => {
    const read = editRequest.safeParse(request.body);
    if (!read.success)
      throw new InputError(
        'This is not an edit',
        read.error.issues.map(({ path, message }) => ({ path: path.join('.'), message })),
      );
    response.json((await control.edit(read.data, COMMAND_LINE)) satisfies EditAnswer);
  });
  router.get('/:id', async (request, response) => {
    const show = await store.ask('openShow', request.params.id);
    if (show !== undefined) return void response.json(show);
    throw new InputError(`There is no show "${request.params.id}"; there is ${(await store.ask('showIds')).join(', ')}`);
  });
  router.get('/', async (_request, response) => {
    const { show } = control.show;
    response.json((await store.ask('openShow', show.id)) ?? show);
  });
  return router;
}

const COMMAND_LINE: Editor = { id: 0, name: 'command line' };
