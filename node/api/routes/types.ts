import express, { Router } from 'express';
import { InputError } from '../../core/errors.ts';
import type { Clock } from '../../core/ports.ts';
import type { Store } from '../../store/store.ts';
import type { Refusal } from '../contract.ts';
import { type ImportedType, LARGEST_TYPE_FILE, type ReadAgain } from '../local-contract.ts';
import { TypeReader } from '../type-reader.ts';
import { typeRows } from '../type-rows.ts';
import type { Visitors } from '../visitors.ts';

/** Fixture types: a GDTF file in, as its bytes; the list of all that a show may name out. */
export function typeRoutes(store: Pick<Store, 'ask'>, clock: Clock): Router {
  const router = Router();
  const reader = new TypeReader();
  router.post('/', express.raw({ type: 'application/octet-stream', limit: LARGEST_TYPE_FILE }), async (request, response) => {
    const bytes: unknown = request.body;
    if (!Buffer.isBuffer(bytes)) throw new InputError('This wants the bytes of a GDTF file');
    const { json, row, images } = await reader.read(bytes);
    const name = typeof request.query.name === 'string' ? request.query.name.slice(0, 200) : '';
    response.json({ ...row, id: await store.ask('keepType', bytes, name, json, clock.wall(), images) } satisfies ImportedType);
  });
  // One at a time: each has the limits of a file.
  router.post('/:id/again', async ({ params: { id } }, response) => {
    const bytes = await store.ask('typeFile', id);
    if (bytes === undefined) throw new InputError(`There is no imported type "${id}"`);
    const { json, row, images } = await reader.read(bytes);
    const changed = await store.ask('renewType', id, json, clock.wall(), images);
    response.json({ changed, left: row.left } satisfies ReadAgain);
  });
  router.get('/', async (_request, response) => void response.json(typeRows(await store.ask('listTypes'))));
  return router;
}

/**
 * Pictures of the slots of imported types, for operators: `GET types/:id/wheels/:wheel/:slot`, a slot from 1. They are a stranger's bytes: they
 * go out as PNG and nothing else.
 */
export function slotImageRoutes(store: Pick<Store, 'ask'>, visitors: Pick<Visitors, 'of'>): Router {
  const router = Router();
  router.get('/types/:id/wheels/:wheel/:slot', async (request, response) => {
    if (visitors.of(request)?.role !== 'operator')
      return void response.status(403).json({ error: 'Only an operator may do this' } satisfies Refusal);
    const { id, wheel, slot } = request.params;
    const image = await store.ask('slotImage', id, wheel, Number(slot));
    if (image === undefined) return void response.status(404).json({ error: 'There is no such picture' } satisfies Refusal);
    response.setHeader('x-content-type-options', 'nosniff');
    response.setHeader('content-security-policy', "default-src 'none'; sandbox");
    response.type('image/png').send(Buffer.from(image));
  });
  return router;
}
