import { createServer, type Server } from 'node:http';
import { type AddressInfo, isIPv6 } from 'node:net';
import compression from 'compression';
import express, { type ErrorRequestHandler, type Express, type Router } from 'express';
import helmet from 'helmet';
import { depthProblem, TOO_DEEP } from '../core/json.ts';
import type { Clock, Log } from '../core/ports.ts';
import { systemWords } from '../core/system-words.ts';
import type { Millis } from '../core/units.ts';
import type { Refusal } from './contract.ts';
import { Doors } from './doors.ts';
import type { LocalAccess } from './local-access.ts';
import type { Holder } from './places.ts';
import { refusalOf } from './refusals.ts';
import { holderOf, ourPagesOnly, type Visitors } from './visitors.ts';

/** A show of two thousand fixtures is about a megabyte. */
const LARGEST_SHOW = '8mb';
/** What a browser sends is a name and a code. */
const LARGEST_FORM = '4kb';
const TRY_AGAIN_AFTER: Millis = 5000;

/** Whoever is slower than this holds a place that somebody else wants. An answer that nobody takes is given up after a minute. */
const patience = { headersTimeout: 10_000, requestTimeout: 30_000, connectionsCheckingInterval: 2000 };
const UNREAD: Millis = 60_000;
/** Time for the last words to remotes to get through before their sockets are closed. */
const GOODBYE: Millis = 200;

/** The node's own user at its own machine goes last. */
const owner: Holder = { key: 'owner', rank: 1 };

export interface ServerParts {
  readonly host: string;
  /** 0 takes any free port. */
  readonly port: number;
  readonly access: LocalAccess;
  readonly visitors: Visitors;
  /** Routers by the path under `/api/local` that they serve: for the node's own user. */
  readonly local: Readonly<Record<string, Router>>;
  /** Routes for programs that watch over the node. */
  readonly upkeep: Router;
  /** Routes under `/api` for browsers. */
  readonly browsers: Router;
  /** Folder of the built web app. */
  readonly app: string;
  /** Told of every server that is opened, to take over its upgrades. */
  readonly opened: (server: Server) => void;
  /** It can be reached now. */
  readonly listening: () => void;
  readonly clock: Clock;
  readonly log: Log;
}

/** The web server. A port that is taken costs the remote, not the light: it says so and tries again. */
export class WebServer {
  readonly #parts: ServerParts;
  readonly #app: Express;
  readonly #doors: Doors;
  #server: Server | undefined;
  #timer: NodeJS.Timeout | undefined;
  #complained = false;

  constructor(parts: ServerParts) {
    this.#parts = parts;
    this.#app = buildApp(parts);
    const { access, visitors, clock } = parts;
    this.#doors = new Doors((request) => {
      const remote = visitors.of(request);
      if (remote !== undefined) return holderOf(remote);
      return access.isOwner(request) ? owner : undefined;
    }, clock);
  }

  start(): void {
    const { host, port, opened, listening, log } = this.#parts;
    const server = createServer(patience);
    server.setTimeout(UNREAD);
    this.#server = server;
    server.on('error', (error) => {
      if (server.listening) {
        log.once('accept', `The web server could not take a connection (${systemWords(error)}). The lights play on.`);
        return;
      }
      if (!this.#complained)
        log(`The web server cannot listen on ${host}:${port} (${systemWords(error)}). The lights play on; it tries again.`);
      this.#complained = true;
      this.#timer = setTimeout(() => this.start(), TRY_AGAIN_AFTER);
    });
    this.#doors.guard(server, this.#app);
    opened(server);
    server.listen(port, host, () => {
      this.#announce();
      listening();
    });
  }

  /** Where it is to be found: the address that it listens on, or `own` where it listens on all of this machine's. */
  address(own: string): string {
    const bound = this.#server?.address() as AddressInfo | null | undefined;
    const { address, port } = bound ?? { address: this.#parts.host, port: this.#parts.port };
    const host = address === '0.0.0.0' || address === '::' ? own : address;
    return `http://${isIPv6(host) ? `[${host}]` : host}:${port}`;
  }

  /** A disk that does not take node.json costs the command line, not the light. */
  #announce(): void {
    const { access, log } = this.#parts;
    try {
      access.announce(this.address('127.0.0.1'));
    } catch (error) {
      log(`Commands cannot find this node: ${error instanceof Error ? error.message : String(error)}`);
    }
  }

  async stop(): Promise<void> {
    clearTimeout(this.#timer);
    try {
      this.#parts.access.withdraw();
    } catch {
      // A disk that takes nothing any more: whoever reads the file finds nobody there.
    }
    const server = this.#server;
    if (server === undefined || !server.listening) return;
    const closed = new Promise((resolve) => server.close(resolve));
    server.closeAllConnections();
    const late = setTimeout(() => this.#doors.closeAll(), GOODBYE);
    await closed;
    clearTimeout(late);
  }
}

function buildApp({ access, local, upkeep, browsers, app: folder, log }: ServerParts): Express {
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
  app.use('/api/local', access.guard, express.json({ limit: LARGEST_SHOW, strict: false }), notTooDeep);
  for (const [path, router] of Object.entries(local)) app.use(`/api/local/${path}`, router);
  app.use('/api/local', nothing);
  app.use(upkeep);
  app.use(ourPagesOnly);
  app.use(compression());
  app.use('/api', express.json({ limit: LARGEST_FORM }), notTooDeep, browsers, nothing);
  app.use('/assets', express.static(`${folder}/assets`, { immutable: true, maxAge: '1y' }));
  app.use(express.static(folder, { cacheControl: true, maxAge: 0 }));
  app.use(nothing);
  app.use(refuse(log));
  return app;
}

/** What is behind it may walk through a body as it likes. */
const notTooDeep: express.RequestHandler = (request, response, next) => {
  const deep = depthProblem(request.body);
  if (deep === undefined) next();
  else response.status(400).json({ error: TOO_DEEP, problems: [deep] } satisfies Refusal);
};

const nothing: express.RequestHandler = (_request, response) => void response.status(404).json({ error: 'There is nothing here' });

const refuse =
  (log: Log): ErrorRequestHandler =>
  (error: unknown, _request, response, _next) => {
    // Whoever asked has gone, or the answer has begun: it can only be cut short.
    if (response.headersSent) return void response.destroy();
    // What Express itself refuses: a body that cannot be read, a path that is none.
    const { status: its = 500, message } = error as { status?: number; message?: string };
    if (its < 500) return void response.status(its).json({ error: message ?? 'This cannot be read' });
    const { status, ...refusal } = refusalOf(error, log);
    response.status(status).json(refusal);
  };
