import { Router } from 'express';
import { rateLimit } from 'express-rate-limit';
import { InputError } from '../../core/errors.ts';
import type { Clock } from '../../core/ports.ts';
import type { RemoteTable } from '../../store/remotes.ts';
import { invitationRequest, type Me, pairRequest } from '../contract.ts';
import type { Pairing } from '../pairing.ts';
import { cookieFor, remoteOf } from '../visitors.ts';

const limited = (perMinute: number) =>
  rateLimit({
    windowMs: 60_000,
    limit: perMinute,
    standardHeaders: 'draft-8',
    legacyHeaders: false,
    message: { error: 'Too many tries; wait a minute' },
  });

/** Joining, inviting and revoking. Without a token there is nothing here but `me` and `pair`. */
export function pairingRoutes(pairing: Pairing, remotes: RemoteTable, clock: Clock): Router {
  const router = Router();
  router.use(limited(600));

  const me = (token: string | undefined): Me => {
    const remote = token === undefined ? undefined : remotes.byToken(token);
    return {
      remote: remote === undefined ? null : { id: remote.id, name: remote.name, role: remote.role },
      claimable: pairing.isClaimable,
    };
  };

  router.get('/me', (request, response) => {
    const remote = remoteOf(request, remotes);
    if (remote !== undefined) remotes.seen(remote.id, clock.now());
    response.json({
      ...me(undefined),
      remote: remote === undefined ? null : { id: remote.id, name: remote.name, role: remote.role },
    } satisfies Me);
  });

  router.post('/pair', limited(10), (request, response) => {
    const read = pairRequest.safeParse(request.body);
    if (!read.success) throw new InputError('A code of eight characters and a name for this phone are needed');
    const token = pairing.pair(read.data.code, read.data.name);
    if (token === undefined) throw new InputError('This code is wrong, used up or too old. Ask for a new one.');
    response.setHeader('set-cookie', cookieFor(token));
    response.json(me(token));
  });

  router.use((request, response, next) => {
    if (remoteOf(request, remotes)?.role === 'operator') next();
    else response.status(403).json({ error: 'Only an operator may do this' });
  });
  router.post('/invitations', (request, response) => {
    const read = invitationRequest.safeParse(request.body);
    if (!read.success) throw new InputError('A role is needed: operator, helper or viewer');
    response.json(pairing.invite(read.data.role, `http://${request.headers.host}`));
  });
  router.get('/remotes', (_request, response) => void response.json(pairing.list()));
  router.delete('/remotes/:id', (request, response) => {
    if (!pairing.revoke(Number(request.params.id))) throw new InputError('There is no such remote any more');
    response.status(204).end();
  });
  return router;
}
