import { Router } from 'express';
import { InputError } from '../../core/errors.ts';
import type { Heartbeat } from '../../core/heartbeat.ts';
import type { Clock } from '../../core/ports.ts';
import { invitationRequest } from '../contract.ts';
import type { Forgotten } from '../local-contract.ts';
import type { Pairing } from '../pairing.ts';

/** For the node's own user at its own machine: pair without a paired phone, revoke, stand in for a remote. */
export function machineRoutes(pairing: Pairing, heartbeat: Heartbeat, clock: Clock, address: () => string): Router {
  const router = Router();
  router.post('/invitations', (request, response) => {
    const read = invitationRequest.safeParse(request.body);
    if (!read.success) throw new InputError('A role is needed: operator, helper or viewer');
    response.json(pairing.invite(read.data.role, address()));
  });
  router.get('/remotes', (_request, response) => void response.json(pairing.list()));
  router.delete('/remotes/:id', async (request, response) => {
    const { id } = request.params;
    const forgotten = pairing.list().filter((one) => id === 'all' || String(one.id) === id);
    if (id === 'all') await pairing.revokeAll();
    else if (!(await pairing.revoke(Number(id)))) throw new InputError(`There is no remote ${id}; "duskhand remotes" lists them`);
    response.json({ names: forgotten.map(({ name }) => name) } satisfies Forgotten);
  });
  router.post('/beat', (_request, response) => {
    heartbeat.beat(clock.now());
    response.status(204).end();
  });
  return router;
}
