import { Router } from 'express';
import { command } from '../../core/commands.ts';
import { InputError } from '../../core/errors.ts';
import { maySend } from '../../core/roles.ts';
import type { Status } from '../contract.ts';
import type { Control } from '../control.ts';

/** What plays, and the commands that change it. */
export function playRoutes(control: Control, status: () => Status): Router {
  const router = Router();
  router.get('/status', (_request, response) => void response.json(status()));
  router.post('/command', async (request, response) => {
    const read = command.safeParse(request.body);
    if (!read.success) {
      throw new InputError('This is not a command', [{ path: '', message: read.error.issues[0]?.message ?? 'must be a command' }]);
    }
    if (!maySend('operator', read.data)) throw new InputError('Only the engine says this');
    await control.do(read.data, 'command line');
    response.status(204).end();
  });
  return router;
}
