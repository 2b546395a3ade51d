import { fileURLToPath } from 'node:url';
import { Router } from 'express';
import type { ForeignSource } from './api/contract.ts';
import type { Changed, Control } from './api/control.ts';
import type { Edited } from './api/edit-contract.ts';
import { Heard } from './api/heard.ts';
import { Holds } from './api/holds.ts';
import { LocalAccess } from './api/local-access.ts';
import type { NodeSettings } from './api/node-settings.ts';
import { Pairing } from './api/pairing.ts';
import { benchRoutes } from './api/routes/bench.ts';
import { machineRoutes } from './api/routes/machine.ts';
import { pairingRoutes } from './api/routes/pairing.ts';
import { playRoutes } from './api/routes/play.ts';
import { settingsRoutes } from './api/routes/settings.ts';
import { shelfRoutes } from './api/routes/shelf.ts';
import { showRoutes } from './api/routes/show.ts';
import { benchTypeRoutes, slotImageRoutes, typeRoutes } from './api/routes/types.ts';
import { upkeepRoutes } from './api/routes/upkeep.ts';
import { seenLook } from './api/seen-look.ts';
import { WebServer } from './api/server.ts';
import { Sockets } from './api/socket/sockets.ts';
import { stateOf } from './api/state.ts';
import { type NodeFacts, statusOf } from './api/status.ts';
import { TypeReader } from './api/type-reader.ts';
import { UpkeepAccess } from './api/upkeep-access.ts';
import { Visitors } from './api/visitors.ts';
import type { RunOptions } from './cli/program.ts';
import type { Heartbeat } from './core/heartbeat.ts';
import type { Role } from './core/roles.ts';
import type { Millis } from './core/units.ts';
import type { Engine } from './engine/engine.ts';
import { isHeardOf } from './engine/vigil.ts';
import { Monitor } from './monitor/monitor.ts';
import { sameSubnet } from './outputs/subnet.ts';
import type { KnownRemote } from './store/remotes.ts';
import { RemotesAtHand } from './store/remotes-at-hand.ts';
import type { Store } from './store/store.ts';
import { systemClock as clock } from './system/clock.ts';
import { ownAddress, presentLinks } from './system/links.ts';
import { log } from './system/log.ts';
import { NameResponder } from './system/mdns.ts';
import { openUdp } from './system/udp.ts';
import { usedByProcess } from './system/use.ts';

const webApp = fileURLToPath(new URL('../ui', import.meta.url));

/** What is measured of what plays. */
const measured = (control: Control, { report }: Engine, now: Millis) => ({
  report,
  show: control.show.show.name,
  troubles: stateOf(control, report, now).troubles,
});

export interface WebParts {
  readonly options: RunOptions;
  readonly node: NodeFacts;
  readonly cid: Uint8Array;
  /** Folder of the shows that come with the program. */
  readonly demos: string;
  /** Phones that were paired before. */
  readonly remotes: readonly KnownRemote[];
  readonly engine: Engine;
  readonly store: Store;
  readonly settings: NodeSettings;
  readonly control: Control;
  readonly heartbeat: Heartbeat;
}

/** The side of a node that people and other machines see: phones and their pairing, the command line's way in, the name, who else sends. */
export class Web {
  readonly #parts: WebParts;
  readonly #sockets: Sockets;
  readonly #server: WebServer;
  readonly #monitor: Monitor;
  readonly #name: NameResponder | undefined;

  constructor(parts: WebParts) {
    this.#parts = parts;
    const { options, node, cid, demos, engine, store, settings, control, heartbeat } = parts;
    this.#monitor = new Monitor({ cid, reports: () => engine.report?.outputs ?? [], log });
    const remotes = new RemotesAtHand(store, parts.remotes);
    const visitors = new Visitors(remotes, clock);
    const alive = (role: Role): void => heartbeat.beat(clock.now(), role);
    const sources = (): readonly ForeignSource[] => this.#monitor.sources(clock.now());
    const holds = new Holds<object>((button) => control.isOn(button));
    const sockets = new Sockets({ control, engine, visitors, holds, clock, node, alive, sources, log });
    const pairing = new Pairing({
      remotes,
      clock,
      revoked: (id) => sockets.end(id),
      connected: (id) => sockets.isConnected(id),
    });
    const address = (): string => this.#server.address(ownAddress());
    const heard = new Heard({
      listen: (universes) => this.#monitor.listen(universes, clock.now()),
      show: () => control.draft.show,
      address: () => ownAddress(),
    });
    const taking = {
      seen: () => seenLook(control.show, control.state, engine.published.frame, clock.now()),
      heard: (of: string | undefined) => heard.answer(of, clock.now()),
    };
    const types = { store, reader: new TypeReader(), clock };
    this.#sockets = sockets;
    this.#server = new WebServer({
      ...options.http,
      access: new LocalAccess(options.data),
      visitors,
      local: {
        play: playRoutes(control, holds, () => statusOf(control, engine, node, clock.now())),
        show: showRoutes(control, settings, store),
        settings: settingsRoutes(settings, control),
        types: typeRoutes(types),
        machine: machineRoutes(pairing, heartbeat, clock, address),
      },
      upkeep: upkeepRoutes(
        new UpkeepAccess(options.data),
        () => ({ ...usedByProcess(), ...measured(control, engine, clock.now()), ...node, connected: sockets.connected() }),
        () => isHeardOf(engine.report, clock.now()),
      ),
      browsers: Router().use(
        slotImageRoutes(store, visitors),
        pairingRoutes(
          pairing,
          visitors,
          clock,
          store,
          benchRoutes(control, store, visitors, benchTypeRoutes(types), taking).use(
            '/shows',
            shelfRoutes({ control, store, visitors, clock, demos, changed: () => sockets.shelfChanged() }),
          ),
        ),
      ),
      app: webApp,
      opened: (http) => sockets.serve(http),
      listening: () => {
        const claim = pairing.openClaim();
        if (claim !== undefined)
          log.info(`No phone is paired yet. Open ${address()} within ten minutes and enter ${claim}, or run "duskhand pair".`);
      },
      clock,
      log,
    });
    this.#name =
      options.name === 'off'
        ? undefined
        : new NameResponder(options.name, { links: presentLinks, isOn: sameSubnet, openUdp, clock, log });
  }

  start(): void {
    this.#sockets.start();
    this.#server.start();
    this.#listen();
    this.#monitor.start();
    this.#name?.start();
  }

  /** As {@link Changed}. */
  changed(what: Changed): void {
    if (what === 'show' || what === 'settings') this.#listen();
    if (what === 'show') this.#sockets.showChanged();
    else if (what === 'shelf') this.#sockets.shelfChanged();
    else this.#sockets.changed();
  }

  edited(change: Edited): void {
    this.#sockets.edited(change);
  }

  /** Whoever is there goes; nobody comes in any more. */
  close(): void {
    this.#name?.stop();
    this.#sockets.stop();
  }

  async stop(): Promise<void> {
    await Promise.all([this.#server.stop(), this.#monitor.stop()]);
  }

  #listen(): void {
    const { control, settings } = this.#parts;
    this.#monitor.setUniverses(control.show.rig.universes, settings.outputs);
  }
}
