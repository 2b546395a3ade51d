import { Router } from 'express';
import type { Control } from '../control.ts';
import type { FlagsOver } from '../local-contract.ts';
import type { NodeSettings } from '../node-settings.ts';

/** What belongs to this node and to no show. */
export function settingsRoutes(settings: NodeSettings, control: Control): Router {
  const router = Router();
  router.get('/', (_request, response) => void response.json(settings.kept));
  router.get('/flags', (_request, response) => void response.json(settings.flags satisfies FlagsOver));
  router.put('/', async (request, response) => {
    await settings.set(request.body, control.show.rig.universes);
    control.settingsChanged();
    response.json(settings.kept);
  });
  return router;
}
