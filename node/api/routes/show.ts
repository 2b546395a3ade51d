import { Router } from 'express';
import { InputError } from '../../core/errors.ts';
import { carryTypes, type TypeLookup } from '../../show/carry-types.ts';
import { checkShow } from '../../show/read.ts';
import type { ShowTable } from '../../store/shows.ts';
import type { Imported } from '../contract.ts';
import type { Control } from '../control.ts';

/** Shows as documents: in and out. */
export function showRoutes(control: Control, shows: ShowTable, types: TypeLookup): Router {
  const router = Router();
  router.post('/', async (request, response) => {
    const stored = await control.import(checkShow(carryTypes(request.body, types)), 'import');
    response.json({ show: stored.show.id, name: stored.show.name, revision: stored.revision } satisfies Imported);
  });
  router.get('/:id', (request, response) => {
    const stored = shows.open(request.params.id);
    if (stored === undefined) throw new InputError(`There is no show "${request.params.id}"; there is ${shows.ids().join(', ')}`);
    response.json(stored.show);
  });
  router.get('/', (_request, response) => void response.json(shows.open(control.show.show.id)?.show));
  return router;
}
