import { Router } from 'express';
import type { Trouble } from '../contract.ts';
import { type Measured, metricsOf } from '../metrics.ts';
import type { UpkeepAccess } from '../upkeep-access.ts';

/** `GET /health`. */
export interface Health {
  /** `playing`: frames are drawn, nothing is wrong. `trouble`: they are, and screens say what is wrong. `stuck`: none are; answered as 503. */
  readonly state: 'playing' | 'trouble' | 'stuck';
  readonly troubles: readonly Trouble[];
}

/** For programs that watch over the node: `GET /health` and, in the text format of Prometheus, `GET /metrics`. */
export function upkeepRoutes(access: UpkeepAccess, measure: () => Measured, isPlaying: () => boolean): Router {
  const router = Router();
  router.use(['/health', '/metrics'], access.guard, (_request, response, next) => {
    response.setHeader('cache-control', 'no-store');
    next();
  });
  router.get('/health', (_request, response) => {
    const { troubles } = measure();
    const state = !isPlaying() ? 'stuck' : troubles.length > 0 ? 'trouble' : 'playing';
    response.status(state === 'stuck' ? 503 : 200).json({ state, troubles } satisfies Health);
  });
  router.get('/metrics', (_request, response) => {
    response.type('text/plain; version=0.0.4; charset=utf-8').send(metricsOf(measure()));
  });
  return router;
}
