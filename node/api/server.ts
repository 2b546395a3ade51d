import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import express, { type ErrorRequestHandler, type Express, type Router } from 'express';
import { InputError } from '../core/errors.ts';
import type { Millis } from '../core/units.ts';
import type { LocalAccess } from './local-access.ts';

/** A show of two thousand fixtures is about a megabyte. */
const LARGEST_BODY = '8mb';
const TRY_AGAIN_AFTER: Millis = 5000;

export interface ServerParts {
  readonly host: string;
  /** 0 takes any free port. */
  readonly port: number;
  readonly access: LocalAccess;
  /** Routers by the path under `/api/local` that they serve. */
  readonly local: Readonly<Record<string, Router>>;
  readonly log: (line: string) => void;
}

/** The web server. A port that is taken costs the remote, not the light: it says so and tries again. */
export class WebServer {
  readonly #parts: ServerParts;
  readonly #app: Express;
  #server: Server | undefined;
  #timer: NodeJS.Timeout | undefined;
  #complained = false;

  constructor(parts: ServerParts) {
    this.#parts = parts;
    this.#app = buildApp(parts);
  }

  start(): void {
    const { host, port, access, log } = this.#parts;
    const server = createServer(this.#app);
    this.#server = server;
    server.once('error', (error) => {
      if (!this.#complained)
        log(`The web server cannot listen on ${host}:${port} (${error.message}). The lights play on; it tries again.`);
      this.#complained = true;
      this.#timer = setTimeout(() => this.start(), TRY_AGAIN_AFTER);
    });
    server.listen(port, host, () => {
      const { port: taken } = server.address() as AddressInfo;
      access.announce(`http://${reachable(host)}:${taken}`);
    });
  }

  async stop(): Promise<void> {
    clearTimeout(this.#timer);
    this.#parts.access.withdraw();
    const server = this.#server;
    if (server === undefined || !server.listening) return;
    server.closeAllConnections();
    await new Promise((resolve) => server.close(resolve));
  }
}

function buildApp({ access, local, log }: ServerParts): Express {
  const app = express();
  app.disable('x-powered-by');
  app.disable('etag');
  app.use('/api/local', access.guard, express.json({ limit: LARGEST_BODY, strict: false }));
  for (const [path, router] of Object.entries(local)) app.use(`/api/local/${path}`, router);
  app.use((_request, response) => void response.status(404).json({ error: 'There is nothing here' }));
  app.use(refuse(log));
  return app;
}

/** Input errors go back as they are; what is nobody's input is a bug: it is logged, and the answer gives nothing away. */
const refuse =
  (log: (line: string) => void): ErrorRequestHandler =>
  (error: unknown, _request, response, _next) => {
    if (error instanceof InputError) return void response.status(422).json({ error: error.message, problems: error.problems });
    const { status, message } = error as { status?: number; message?: string };
    if (status !== undefined && status < 500) return void response.status(status).json({ error: message ?? 'This cannot be read' });
    log(`A request failed: ${error instanceof Error ? error.stack : String(error)}`);
    response.status(500).json({ error: 'The node could not do this; its log says why' });
  };

/** An address that a client on this machine can open: not the wildcard. */
function reachable(host: string): string {
  if (host === '0.0.0.0' || host === '') return '127.0.0.1';
  if (host === '::') return '[::1]';
  return host.includes(':') ? `[${host}]` : host;
}
