import { networkInterfaces } from 'node:os';
import type { Link } from '../core/ports.ts';

/** The addresses of every interface that is up and has a carrier: the system leaves the others out (libuv asks for IFF_UP and IFF_RUNNING). */
export function presentLinks(): Link[] {
  return Object.entries(networkInterfaces()).flatMap(([name, addresses = []]) =>
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
}

/** One text for a set of links: equal exactly when the links are. An interface made anew differs by its card or its index. */
export const linksKey = (links: readonly Link[]): string =>
  links.map(({ name, address, netmask, mac, scope }) => `${name} ${address}/${netmask} ${mac} ${scope}`).join(', ');

/** An address under which the local network can reach this machine; loopback when it has none. */
export const ownAddress = (): string =>
  presentLinks().find((link) => link.family === 'IPv4' && !link.internal)?.address ?? '127.0.0.1';
