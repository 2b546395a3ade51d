import express, { type Request, Router } from 'express';
import { InputError } from '../../core/errors.ts';
import type { Clock } from '../../core/ports.ts';
import { library } from '../../rig/library.ts';
import { choiceOf } from '../../show/type-choice.ts';
import type { Store } from '../../store/store.ts';
import type { Refusal } from '../contract.ts';
import type { TypeChoices, TypeTaken } from '../edit-contract.ts';
import { type ImportedType, LARGEST_TYPE_FILE, type ReadAgain } from '../local-contract.ts';
import type { TypeReader } from '../type-reader.ts';
import { typeRows } from '../type-rows.ts';
import type { Visitors } from '../visitors.ts';

const bytesOf = express.raw({ type: 'application/octet-stream', limit: LARGEST_TYPE_FILE });

/** Reads the file that a request brings, and keeps it with its type. @returns what to tell of it, with the id under which it is found */
async function takeIn({ body, query }: Request, { store, reader, clock }: TypeParts): Promise<ImportedType> {
  const bytes: unknown = body;
  if (!Buffer.isBuffer(bytes)) throw new InputError('This wants the bytes of a GDTF file');
  const { json, row, images } = await reader.read(bytes);
  const name = typeof query.name === 'string' ? query.name.slice(0, 200) : '';
  return { ...row, id: await store.ask('keepType', bytes, name, json, clock.wall(), images) };
}

export interface TypeParts {
  readonly store: Pick<Store, 'ask'>;
  /** One for all, so that the files of everybody together keep to its limits. */
  readonly reader: TypeReader;
  readonly clock: Clock;
}

/** Fixture types for the bench: all that may be added to a show; and a GDTF file in, as its bytes. Operators only. */
export function benchTypeRoutes(parts: TypeParts): Router {
  const router = Router();
  router.get('/', async (_request, response) => {
    const imported = (await parts.store.ask('listTypes')).filter(({ id }) => !library.has(id));
    response.json([
      ...[...library.values()].map((type) => ({ ...choiceOf(type), from: 'library' as const })),
      ...imported.map((type) => ({ ...choiceOf(type), from: 'import' as const })),
    ] satisfies TypeChoices);
  });
  router.post('/', bytesOf, async (request, response) => {
    const { id, left } = await takeIn(request, parts);
    const [type] = await parts.store.ask('findTypes', [id]);
    if (type === undefined) throw new InputError('The file was kept, but its type cannot be read again');
    response.json({ ...choiceOf(type), from: 'import', left } satisfies TypeTaken);
  });
  return router;
}

/** Fixture types: a GDTF file in, as its bytes; the list of all that a show may name out. */
export function typeRoutes(parts: TypeParts): Router {
  const { store, reader, clock } = parts;
  const router = Router();
  router.post('/', bytesOf, async (request, response) => void response.json(await takeIn(request, parts)));
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
