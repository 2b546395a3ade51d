import express, { Router } from 'express';
import { InputError } from '../../core/errors.ts';
import type { Clock } from '../../core/ports.ts';
import { readGdtf } from '../../rig/gdtf/read.ts';
import type { Store } from '../../store/store.ts';
import { LARGEST_TYPE_FILE } from '../contract.ts';
import { importedRow, typeRows } from '../type-rows.ts';

/** Fixture types: a GDTF file in, as its bytes; the list of all that a show may name out. */
export function typeRoutes(store: Pick<Store, 'ask'>, clock: Clock): Router {
  const router = Router();
  router.post('/', express.raw({ type: 'application/octet-stream', limit: LARGEST_TYPE_FILE }), async (request, response) => {
    const bytes: unknown = request.body;
    if (!Buffer.isBuffer(bytes)) throw new InputError('This wants the bytes of a GDTF file');
    const read = await readGdtf(bytes);
    const name = typeof request.query.name === 'string' ? request.query.name.slice(0, 200) : '';
    response.json(importedRow(await store.ask('keepType', bytes, name, read, clock.wall())));
  });
  router.get('/', async (_request, response) => void response.json(typeRows(await store.ask('listTypes'))));
  return router;
}
