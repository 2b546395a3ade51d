import { Router } from 'express';
import { InputError } from '../../core/errors.ts';
import { carryTypes, type TypeLookup } from '../../show/carry-types.ts';
import { readShow } from '../../show/read.ts';
import type { ShowTable } from '../../store/shows.ts';
import type { Imported } from '../contract.ts';
import type { Control } from '../control.ts';
import type { NodeSettings } from '../node-settings.ts';

/** Shows as documents: in and out. */
export function showRoutes(control: Control, settings: NodeSettings, shows: ShowTable, types: TypeLookup): Router {
  const router = Router();
  router.post('/', async (request, response) => {
    const { show, outputs } = readShow(carryTypes(request.body, types));
    const note = settings.takeOver(outputs);
    if (note !== undefined) control.settingsChanged();
    const { revision } = await control.import(show, 'import');
    response.json({ show: show.id, name: show.name, revision, ...(note === undefined ? {} : { note }) } satisfies Imported);
  });
  router.get('/:id', (request, response) => {
    const stored = shows.open(request.params.id);
    if (stored === undefined) throw new InputError(`There is no show "${request.params.id}"; there is ${shows.ids().join(', ')}`);
    response.json(stored.show);
  });
  router.get('/', (_request, response) => void response.json(shows.open(control.show.show.id)?.show));
  return router;
}
