import { Router } from 'express';
import { InputError } from '../../core/errors.ts';
import { faultsOf } from '../../show/faults.ts';
import type { Store } from '../../store/store.ts';
import type { Control } from '../control.ts';
import type { BenchDraft, BenchHistory, BenchRevision, BenchSteps, HeardAnswer, TakenLook } from '../edit-contract.ts';
import type { Visitors } from '../visitors.ts';

/** Rows of the history in one answer. */
const MOST_ROWS = 50;

/** What the bench reads; what it changes goes over the socket. Operators only. */
export function benchRoutes(
  control: Pick<Control, 'draft' | 'release'>,
  store: Pick<Store, 'ask'>,
  visitors: Visitors,
  types: Router,
  taking: { readonly seen: () => TakenLook; readonly heard: (of: string | undefined) => HeardAnswer },
): Router {
  const router = Router();
  router.get('/', (_request, response) => {
    const { show, revision, held } = control.draft;
    response.json({ show, revision, faults: faultsOf(show), ...(held === undefined ? {} : { held }) } satisfies BenchDraft);
  });
  router.post('/release', async (_request, response) => {
    await control.release();
    response.status(204).end();
  });
  router.get('/seen', (_request, response) => {
    const look = taking.seen();
    if (look.parts.length < 2) throw new InputError('Nothing is lit that a look could be made of');
    response.json(look satisfies TakenLook);
  });
  router.get('/heard', (request, response) => {
    const { of } = request.query;
    response.json(taking.heard(typeof of === 'string' ? of : undefined) satisfies HeardAnswer);
  });
  router.get('/steps', async (request, response) => {
    const editor = visitors.of(request)?.id ?? 0;
    const { undo, redo } = await store.ask('stepsOf', control.draft.show.id, editor);
    response.json({ ...(undo && { undo: undo.what }), ...(redo && { redo: redo.what }) } satisfies BenchSteps);
  });
  router.get('/history', async (request, response) => {
    const before = Number(request.query.before ?? Number.MAX_SAFE_INTEGER);
    const from = Number.isSafeInteger(before) ? before : Number.MAX_SAFE_INTEGER;
    response.json((await store.ask('history', control.draft.show.id, from, MOST_ROWS)) satisfies BenchHistory);
  });
  router.get('/history/:revision', async (request, response) => {
    const revision = Number(request.params.revision);
    if (!Number.isSafeInteger(revision) || revision < 1) throw new InputError('A revision is a number from 1');
    const { id } = control.draft.show;
    const show = await store.ask('openRevision', id, revision);
    const [row] = await store.ask('history', id, revision + 1, 1);
    if (row?.revision !== revision) throw new InputError(`Revision ${revision} is part of a pull: look at the one that ended it`);
    response.json({ row, show } satisfies BenchRevision);
  });
  router.use('/types', types);
  return router;
}
