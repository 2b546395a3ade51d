import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import compression from 'compression';
import express, { type ErrorRequestHandler, type Express, type Router } from 'express';
import helmet from 'helmet';
import { InputError } from '../core/errors.ts';
import type { Millis } from '../core/units.ts';
import type { LocalAccess } from './local-access.ts';
import { ourPagesOnly } from './visitors.ts';

/** A show of two thousand fixtures is about a megabyte. */
const LARGEST_SHOW = '8mb';
/** What a browser sends is a name and a code. */
const LARGEST_FORM = '4kb';
const TRY_AGAIN_AFTER: Millis = 5000;

export interface ServerParts {
  readonly host: string;
  /** 0 takes any free port. */
  readonly port: number;
  readonly access: LocalAccess;
  /** Routers by the path under `/api/local` that they serve: for the node's own user. */
  readonly local: Readonly<Record<string, Router>>;
  /** Routes under `/api` for browsers. */
  readonly browsers: Router;
  /** Folder of the built web app. */
  readonly app: string;
  /** Told of every server that is opened, to take over its upgrades. */
  readonly opened: (server: Server) => void;
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
    const { host, port, opened, log } = this.#parts;
    const server = createServer(this.#app);
    this.#server = server;
    server.once('error', (error) => {
      if (!this.#complained)
        log(`The web server cannot listen on ${host}:${port} (${error.message}). The lights play on; it tries again.`);
      this.#complained = true;
      this.#timer = setTimeout(() => this.start(), TRY_AGAIN_AFTER);
    });
    opened(server);
    server.listen(port, host, () => this.#announce());
  }

  /** The port that it listens on, once it does. */
  get port(): number {
    const address = this.#server?.address() as AddressInfo | null | undefined;
    return address?.port ?? this.#parts.port;
  }

  /** A disk that does not take node.json costs the command line, not the light. */
  #announce(): void {
    const { host, access, log } = this.#parts;
    try {
      access.announce(`http://${reachable(host)}:${this.port}`);
    } catch (error) {
      log(`Commands cannot find this node: ${error instanceof Error ? error.message : String(error)}`);
    }
  }

  async stop(): Promise<void> {
    clearTimeout(this.#timer);
    this.#parts.access.withdraw();
    const server = this.#server;
    if (server === undefined || !server.listening) return;
    const closed = new Promise((resolve) => server.close(resolve));
    server.closeAllConnections();
    await closed;
  }
}

function buildApp({ access, local, browsers, app: folder, log }: ServerParts): Express {
  const app = express();
  app.disable('etag');
  app.use(
    helmet({
      contentSecurityPolicy: {
        useDefaults: false,
        directives: {
          defaultSrc: ["'self'"],
          connectSrc: ["'self'"],
          imgSrc: ["'self'", 'data:'],
          objectSrc: ["'none'"],
          baseUri: ["'none'"],
          formAction: ["'self'"],
          frameAncestors: ["'none'"],
        },
      },
      // The node speaks plain HTTP on the venue's network; a promise of HTTPS would lock browsers out of it.
      strictTransportSecurity: false,
      crossOriginOpenerPolicy: false,
      originAgentCluster: false,
    }),
  );
  app.use('/api', (_request, response, next) => {
    response.setHeader('cache-control', 'no-store');
    next();
  });
  app.use('/api/local', access.guard, express.json({ limit: LARGEST_SHOW, strict: false }));
  for (const [path, router] of Object.entries(local)) app.use(`/api/local/${path}`, router);
  app.use('/api/local', nothing);
  app.use(ourPagesOnly);
  app.use(compression());
  app.use('/api', express.json({ limit: LARGEST_FORM }), browsers, nothing);
  app.use('/assets', express.static(`${folder}/assets`, { immutable: true, maxAge: '1y' }));
  app.use(express.static(folder, { cacheControl: true, maxAge: 0 }));
  app.use(nothing);
  app.use(refuse(log));
  return app;
}

const nothing: express.RequestHandler = (_request, response) => void response.status(404).json({ error: 'There is nothing here' });

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
