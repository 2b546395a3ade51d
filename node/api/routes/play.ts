import { Router } from 'express';
import { command } from '../../core/commands.ts';
import { InputError } from '../../core/errors.ts';
import { maySend } from '../../core/roles.ts';
import type { Control } from '../control.ts';
import { carryOut, type Holds } from '../holds.ts';
import type { Released, Status } from '../local-contract.ts';

/** All command lines are one holder: `press` and `release` are two of them, and neither lifts a finger from a phone. */
const commandLine = { holder: {}, name: 'command line' };

/** What plays, and the commands that change it. */
export function playRoutes(control: Control, holds: Holds<object>, status: () => Status): Router {
  const router = Router();
  router.get('/status', (_request, response) => void response.json(status()));
  router.post('/command', async (request, response) => {
    const read = command.safeParse(request.body);
    if (!read.success) {
      throw new InputError('This is not a command', [{ path: '', message: read.error.issues[0]?.message ?? 'must be a command' }]);
    }
    if (!maySend('operator', read.data)) throw new InputError('Only the engine says this');
    const asked = control.resolve(read.data);
    const wasOn = asked.do === 'release' && control.isOn(asked.button);
    const isDone = await carryOut(asked, control, holds, commandLine);
    if (asked.do !== 'release') return void response.status(204).end();
    const name = control.show.show.buttons.find(({ id }) => id === asked.button)?.name ?? asked.button;
    response.json({ name, outcome: isDone ? (wasOn ? 'let go' : 'was not on') : 'held' } satisfies Released);
  });
  return router;
}
