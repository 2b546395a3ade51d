import express, { type Request, Router } from 'express';
import { InputError } from '../../core/errors.ts';
import type { Clock } from '../../core/ports.ts';
import { parseJson, readDraft } from '../../show/read.ts';
import type { Editor } from '../../store/edits.ts';
import type { Store } from '../../store/store.ts';
import type { Control } from '../control.ts';
import { openingOf } from '../opening.ts';
import { type NewShow, newShowRequest, renameRequest, type ShelfList } from '../shelf-contract.ts';
import type { Visitors } from '../visitors.ts';

/** A show of two thousand fixtures is about a megabyte. */
const LARGEST_SHOW = '8mb';

export interface ShelfParts {
  readonly control: Pick<Control, 'show' | 'state' | 'draft' | 'open' | 'rename' | 'bin'>;
  readonly store: Pick<Store, 'ask'>;
  readonly visitors: Pick<Visitors, 'of'>;
  readonly clock: Clock;
  /** Folder of the shows that come with the program. */
  readonly demos: string;
  /** What is on the shelf, or in the bin, has changed. */
  readonly changed: () => void;
}

/** The shows of a node: made, opened, called otherwise, taken along, put into the bin and brought back. Each is answered when it is stored. */
export function shelfRoutes({ control, store, visitors, clock, demos, changed }: ShelfParts): Router {
  const router = Router();
  const whoAsks = (request: Request): Editor => visitors.of(request) ?? { id: 0, name: 'command line' };

  router.get('/', async (_request, response) => {
    const [shows, known] = await Promise.all([store.ask('shelf'), store.ask('demos', demos)]);
    response.json({ shows, plays: control.draft.show.id, demos: known } satisfies ShelfList);
  });
  router.post('/', async (request, response) => {
    const read = newShowRequest.safeParse(request.body);
    if (!read.success) throw new InputError('A new show needs a name of 1 to 80 letters, or a show that it is made from');
    const [asked, { name: who }, now] = [read.data, whoAsks(request), clock.wall()];
    const made =
      'empty' in asked
        ? await store.ask('addEmptyShow', asked.name, who, now)
        : 'demo' in asked
          ? await store.ask('addDemo', demos, asked.demo, who, now)
          : await store.ask('copyShow', asked.like, asked.name, who, now);
    changed();
    response.json(made satisfies NewShow);
  });
  router.post('/file', express.raw({ type: 'application/octet-stream', limit: LARGEST_SHOW }), async (request, response) => {
    const bytes: unknown = request.body;
    if (!Buffer.isBuffer(bytes)) throw new InputError('This wants the bytes of a show file');
    const { show, outputs } = readDraft(await store.ask('carryTypes', parseJson(textOf(bytes))));
    const made = await store.ask('addShow', show, `${whoAsks(request).name}, from a file`, clock.wall());
    changed();
    response.json({ ...made, ...(outputs === undefined ? {} : { note: OUTPUTS_STAY }) } satisfies NewShow);
  });
  router.get('/:id/file', async ({ params: { id } }, response) => {
    const show = await store.ask('openShow', id);
    if (show === undefined) throw new InputError(`There is no show "${id}"`);
    response.attachment(`${id}.json`);
    response.type('application/json').send(`${JSON.stringify(show, null, 2)}\n`);
  });
  router.get('/:id/opening', async ({ params: { id } }, response) => {
    response.json(openingOf(control, await store.ask('openedShow', id), clock.now()));
  });
  router.post('/:id/open', async ({ params: { id } }, response) => {
    await control.open(id);
    response.status(204).end();
  });
  router.post('/:id/name', async (request, response) => {
    const read = renameRequest.safeParse(request.body);
    if (!read.success) throw new InputError('A show needs a name of 1 to 80 letters on one line');
    await control.rename(request.params.id, read.data, whoAsks(request));
    response.status(204).end();
  });
  router.post('/:id/bin', async (request, response) => {
    await control.bin(request.params.id, whoAsks(request).name);
    response.status(204).end();
  });
  router.post('/:id/back', async ({ params: { id } }, response) => {
    await store.ask('unbinShow', id);
    changed();
    response.status(204).end();
  });
  return router;
}

/** @throws InputError for what is no text in UTF-8. A byte order mark in front of it is passed over. */
function textOf(bytes: Buffer): string {
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    throw new InputError('This file is no text in UTF-8');
  }
}

const OUTPUTS_STAY = 'The file also says where its light is sent. That belongs to a node: this one sends where it is set to.';
