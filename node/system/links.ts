import { networkInterfaces } from 'node:os';
import { getSystemErrorName } from 'node:util';
import type { Link } from '../core/ports.ts';

/**
 * The addresses of every interface that is up and has a carrier: the system leaves the others out (libuv asks for IFF_UP and IFF_RUNNING).
 * Undefined when the system cannot say, for want of descriptors say; `failed` is told its code. What was seen last is the best guess then.
 */
export function presentLinks(failed: (code: string) => void = () => undefined, interfaces = networkInterfaces): Link[] | undefined {
  try {
    return Object.entries(interfaces()).flatMap(([name, addresses = []]) =>
      addresses.map((one) => ({
        name,
        family: one.family,
        address: one.address,
        netmask: one.netmask,
        mac: one.mac,
        internal: one.internal,
        scope: one.scopeid ?? 0,
      })),
    );
  } catch (error) {
    failed(codeIn(error));
    return undefined;
  }
}

/** The system's name of what went wrong, out of libuv's number for it, which is negative everywhere but here. */
function codeIn(error: unknown): string {
  const { errno } = error as { readonly errno?: unknown };
  return typeof errno === 'number' && errno !== 0 ? getSystemErrorName(-Math.abs(errno)) : 'EUNKNOWN';
}

/** So long nothing is said of a failure after one was. */
const QUIET_FOR = 60_000;

/** Looks at the links again and again, and tells that they cannot be seen: once for a failure that lasts, once a minute for one that comes and goes. */
export class LinkWatch {
  readonly #log: (line: string) => void;
  #failing = false;
  #toldAt = Number.NEGATIVE_INFINITY;

  constructor(log: (line: string) => void) {
    this.#log = log;
  }

  look(interfaces = networkInterfaces): Link[] | undefined {
    const links = presentLinks((code) => this.#failed(code), interfaces);
    if (links !== undefined) this.#failing = false;
    return links;
  }

  #failed(code: string): void {
    const again = this.#failing || performance.now() - this.#toldAt < QUIET_FOR;
    this.#failing = true;
    if (again) return;
    this.#toldAt = performance.now();
    this.#log(`The network interfaces cannot be looked at (${code}); those that were seen last go on being used.`);
  }
}

/** One text for a set of links: equal exactly when the links are. An interface made anew differs by its card or its index. */
export const linksKey = (links: readonly Link[]): string =>
  links.map(({ name, address, netmask, mac, scope }) => `${name} ${address}/${netmask} ${mac} ${scope}`).join(', ');

/** An address under which the local network can reach this machine; loopback when it has none. */
export const ownAddress = (): string =>
  presentLinks()?.find((link) => link.family === 'IPv4' && !link.internal)?.address ?? '127.0.0.1';
