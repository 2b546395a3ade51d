import { Router } from 'express';
import { InputError } from '../../core/errors.ts';
import type { Clock } from '../../core/ports.ts';
import type { Millis } from '../../core/units.ts';
import type { Remote } from '../../store/remotes.ts';
import type { Store } from '../../store/store.ts';
import { Allowances } from '../allowance.ts';
import { type HeldBackRow, invitationRequest, type Me, pairRequest } from '../contract.ts';
import type { Pairing } from '../pairing.ts';
import { cookieFor, type Visitors } from '../visitors.ts';

/** Codes that may be tried from one address at once, and a minute: few enough that guessing is hopeless. */
const TRIES = 10;
/** What was so long ago is of another night. */
const TONIGHT: Millis = 12 * 3600 * 1000;

/** What browsers ask for: joining, inviting and revoking, what was held back, and the bench. Without a token there is nothing here but `me` and `pair`. */
export function pairingRoutes(
  pairing: Pairing,
  visitors: Visitors,
  clock: Clock,
  store: Pick<Store, 'ask'>,
  bench: Router,
): Router {
  const router = Router();
  const tries = new Allowances(TRIES, TRIES / 60);

  const me = (remote: Remote | undefined): Me => ({
    remote: remote === undefined ? null : { id: remote.id, name: remote.name, role: remote.role },
    claimable: pairing.isClaimable,
  });

  router.get('/me', (request, response) => {
    const remote = visitors.of(request);
    if (remote !== undefined) visitors.seen(remote);
    response.json(me(remote));
  });

  router.post('/pair', async (request, response) => {
    if (!tries.take(request.ip ?? '', clock.now()))
      return void response.status(429).json({ error: 'Too many tries; wait a minute' });
    const read = pairRequest.safeParse(request.body);
    if (!read.success) {
      const unplain = read.error.issues.find(({ path, code }) => path[0] === 'name' && code === 'invalid_format');
      if (unplain !== undefined) throw new InputError(`The name of this phone ${unplain.message}`);
      throw new InputError('A code of eight characters and a name for this phone are needed');
    }
    const paired = await pairing.pair(read.data.code, read.data.name);
    if (paired === undefined) throw new InputError('This code is wrong, used up or too old. Ask for a new one.');
    response.setHeader('set-cookie', cookieFor(paired.token));
    response.json(me(paired.remote));
  });

  router.use((request, response, next) => {
    if (visitors.of(request)?.role === 'operator') next();
    else response.status(403).json({ error: 'Only an operator may do this' });
  });
  router.use('/bench', bench);
  router.post('/invitations', (request, response) => {
    const read = invitationRequest.safeParse(request.body);
    if (!read.success) throw new InputError('A role is needed: operator, helper or viewer');
    response.json(pairing.invite(read.data.role, `http://${request.headers.host}`));
  });
  router.get('/held-back', async (_request, response) => {
    const rows = await store.ask('heldBackAfter', clock.wall() - TONIGHT);
    response.json(rows.map(({ guard: _, ...row }) => row) satisfies HeldBackRow[]);
  });
  router.get('/remotes', (_request, response) => void response.json(pairing.list()));
  router.delete('/remotes/:id', async (request, response) => {
    if (!(await pairing.revoke(Number(request.params.id)))) throw new InputError('There is no such remote any more');
    response.status(204).end();
  });
  return router;
}
