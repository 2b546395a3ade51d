import type { Link, OpenUdp, UdpOptions, UdpSocket } from '../core/ports.ts';
import type { Universe } from '../core/units.ts';
import { ARTNET_PORT } from '../outputs/artnet/packets.ts';
import { Routes } from '../outputs/links.ts';
import { groupOf, SACN_PORT } from '../outputs/sacn/tables.ts';
import type { Watch } from './messages.ts';

/** Linux lets a socket join no more (`igmp_max_memberships`). */
const GROUPS_OF_A_SOCKET = 20;
/** Universes that are listened to; any more are not. */
export const MOST_UNIVERSES = 256;

type Watched = Pick<Watch, 'universes' | 'interfaces' | 'artnet'>;
type Hear = NonNullable<UdpOptions['onMessage']>;
interface Ears extends Pick<UdpOptions, 'onError'> {
  readonly onMessage: Hear;
  readonly onArtnet: Hear;
}

const families = ['IPv4', 'IPv6'] as const;
type Family = (typeof families)[number];

/**
 * The ears: one socket a family that hears port 5568, and others that do nothing but hold memberships, 20 each. Linux hands what comes to
 * a group to every socket on the port, whoever joined it (`IP_MULTICAST_ALL`): were the holders on the port too, each would get it all.
 * Art-Net is heard only while that is asked for: of several sockets on its port one alone gets what is sent to this machine, and must not take
 * an output's answers away.
 */
export class Listening {
  readonly #openUdp: OpenUdp;
  readonly #options: Ears;
  readonly #routes = new Routes();
  readonly #ears = new Map<Family, UdpSocket>();
  #holders: ReadonlyMap<string, UdpSocket> = new Map();
  #artnet: UdpSocket | undefined;
  #watch: Watched = { universes: [], interfaces: [], artnet: false };

  constructor(openUdp: OpenUdp, options: Ears) {
    this.#openUdp = openUdp;
    this.#options = options;
  }

  watch(watch: Watched): void {
    this.#watch = watch;
    this.#settle();
    if (watch.artnet === (this.#artnet !== undefined)) return;
    this.#artnet?.close();
    const { onArtnet: onMessage, onError } = this.#options;
    this.#artnet = watch.artnet ? this.#openUdp({ family: 'IPv4', port: ARTNET_PORT, onMessage, onError }) : undefined;
  }

  relink(links: readonly Link[]): void {
    if (this.#routes.relink(links)) this.#settle();
  }

  close(): void {
    for (const socket of [...this.#ears.values(), ...this.#holders.values()]) socket.close();
    this.#artnet?.close();
    this.#artnet = undefined;
    this.#ears.clear();
    this.#holders = new Map();
  }

  /** What is as it should be stays as it is: a membership that is left and joined again may miss what comes in between. */
  #settle(): void {
    const before = this.#holders;
    const wanted = this.#wanted();
    for (const [key, socket] of before) if (!wanted.has(key)) socket.close();
    for (const { family } of wanted.values()) this.#listen(family);
    this.#holders = new Map([...wanted].map(([key, options]) => [key, before.get(key) ?? this.#openUdp(options)]));
  }

  #listen(family: Family): void {
    const { onMessage, onError } = this.#options;
    if (!this.#ears.has(family)) this.#ears.set(family, this.#openUdp({ family, port: SACN_PORT, onMessage, onError }));
  }

  /** The holders that there should be, each under a key that differs when an interface is not what it was. */
  #wanted(): Map<string, UdpOptions> {
    const wanted = new Map<string, UdpOptions>();
    for (const family of families) {
      const parts = inParts(this.#watch.universes.slice(0, MOST_UNIVERSES));
      for (const link of this.#watch.interfaces.flatMap((name) => this.#routes.chosen(name, family))) {
        const multicastInterface = family === 'IPv4' ? link.address : `::%${link.name}`;
        for (const part of parts) {
          const groups = part.map((universe) => groupOf(family, universe));
          const key = [multicastInterface, link.mac, link.scope, ...groups].join(' ');
          wanted.set(key, { family, port: 0, multicastInterface, groups, onError: this.#options.onError });
        }
      }
    }
    return wanted;
  }
}

const inParts = (universes: readonly Universe[]): Universe[][] =>
  Array.from({ length: Math.ceil(universes.length / GROUPS_OF_A_SOCKET) }, (_, i) =>
    universes.slice(i * GROUPS_OF_A_SOCKET, (i + 1) * GROUPS_OF_A_SOCKET),
  );
