import express, { Router } from 'express';
import { InputError } from '../../core/errors.ts';
import type { Clock } from '../../core/ports.ts';
import type { Store } from '../../store/store.ts';
import { type ImportedType, LARGEST_TYPE_FILE, type ReadAgain } from '../local-contract.ts';
import { TypeReader } from '../type-reader.ts';
import { typeRows } from '../type-rows.ts';

/** Fixture types: a GDTF file in, as its bytes; the list of all that a show may name out. */
export function typeRoutes(store: Pick<Store, 'ask'>, clock: Clock): Router {
  const router = Router();
  const reader = new TypeReader();
  router.post('/', express.raw({ type: 'application/octet-stream', limit: LARGEST_TYPE_FILE }), async (request, response) => {
    const bytes: unknown = request.body;
    if (!Buffer.isBuffer(bytes)) throw new InputError('This wants the bytes of a GDTF file');
    const { json, row } = await reader.read(bytes);
    const name = typeof request.query.name === 'string' ? request.query.name.slice(0, 200) : '';
    response.json({ ...row, id: await store.ask('keepType', bytes, name, json, clock.wall()) } satisfies ImportedType);
  });
  // One at a time: each has the limits of a file.
  router.post('/:id/again', async ({ params: { id } }, response) => {
    const bytes = await store.ask('typeFile', id);
    if (bytes === undefined) throw new InputError(`There is no imported type "${id}"`);
    const { json, row } = await reader.read(bytes);
    const changed = await store.ask('renewType', id, json, clock.wall());
    response.json({ changed, left: row.left } satisfies ReadAgain);
  });
  router.get('/', async (_request, response) => void response.json(typeRows(await store.ask('listTypes'))));
  return router;
}
