import { BlockList, isIP } from 'node:net';
import type { Link } from '../core/ports.ts';

/** Whether `address` lies in the subnet of `link`. */
export function sameSubnet(link: Link, address: string): boolean {
  if (familyOf(address) !== link.family) return false;
  const type = link.family === 'IPv4' ? 'ipv4' : 'ipv6';
  const subnet = new BlockList();
  subnet.addSubnet(link.address, prefixLength(link), type);
  return subnet.check(address, type);
}

export function familyOf(address: string): Link['family'] | undefined {
  const version = isIP(address);
  return version === 4 ? 'IPv4' : version === 6 ? 'IPv6' : undefined;
}

/** 127.0.0.0/8 (RFC 1122) and ::1 (RFC 4291). */
export function isLoopback(address: string): boolean {
  return address === '::1' || (familyOf(address) === 'IPv4' && address.startsWith('127.'));
}

/** Set bits of the netmask. Groups that `::` leaves out are zero. */
function prefixLength({ family, netmask }: Link): number {
  const [separator, base] = family === 'IPv4' ? ['.', 10] : [':', 16];
  let bits = 0;
  for (const part of netmask.split(separator)) {
    for (let rest = part === '' ? 0 : Number.parseInt(part, base); rest > 0; rest >>= 1) bits += rest & 1;
  }
  return bits;
}
