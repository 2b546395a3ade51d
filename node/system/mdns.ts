import makeMdns from 'multicast-dns';
import { presentLinks } from './links.ts';

/** Seconds that an answer may be kept: addresses change when a cable is plugged elsewhere. */
const TTL = 60;

/**
 * Answers for `NAME.local` (RFC 6762) with the machine's addresses, so that a phone finds the node without knowing any.
 * A network that does not let multicast through costs only the name. @returns the function that ends it.
 */
export function announceName(name: string, log: (line: string) => void): () => void {
  const host = `${name}.local`;
  const mdns = makeMdns();
  mdns.on('query', ({ questions = [] }) => {
    if (!questions.some((one) => one.name.toLowerCase() === host && ['A', 'ANY'].includes(one.type))) return;
    const addresses = presentLinks().filter((link) => link.family === 'IPv4' && !link.internal);
    mdns.respond({ answers: addresses.map(({ address }) => ({ name: host, type: 'A', ttl: TTL, flush: true, data: address })) });
  });
  let complained = false;
  const complain = (error: Error): void => {
    if (!complained) log(`The name ${host} cannot be announced (${error.message}); phones need the address instead.`);
    complained = true;
  };
  mdns.on('error', complain);
  mdns.on('warning', complain);
  return () => mdns.destroy();
}
