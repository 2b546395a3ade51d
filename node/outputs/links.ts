import type { Link } from '../core/ports.ts';
import { familyOf, isLoopback, sameSubnet } from './subnet.ts';

type Family = Link['family'];

/** Verdicts are kept by address; whoever asks about more addresses than this starts the memory afresh. */
const VERDICTS = 1024;

/**
 * What can be reached over the links as they are. The kernel takes datagrams for a network whose cable is out and lets a burst
 * of stale ones go when it is back; so what belongs to a link that has gone is to be dropped, and this says what does.
 */
export class Routes {
  #links: readonly Link[] = [];
  /** The links of every interface and family as they were when it was last up. */
  readonly #lastSeen = new Map<string, readonly Link[]>();
  readonly #verdicts = new Map<string, { readonly reaches: boolean; readonly link: Link | undefined }>();

  /** Takes over the links that are up now. @returns whether anything differs from before. */
  relink(links: readonly Link[]): boolean {
    if (fingerprint(links) === fingerprint(this.#links)) return false;
    this.#links = links;
    this.#verdicts.clear();
    for (const [key, group] of byInterface(links)) this.#lastSeen.set(key, group);
    return true;
  }

  /** False when `address` can only lie behind a link that is away. What lies in no known subnet is left to the system's routing. */
  reaches(address: string): boolean {
    return this.#verdict(address).reaches;
  }

  /** The link in whose subnet `address` lies; none for what is reached by way of others. */
  linkTo(address: string): Link | undefined {
    return this.#verdict(address).link;
  }

  /**
   * The links to multicast or broadcast by, one an interface. `wanted` is an interface's name or one of its addresses; without it
   * every interface that leads out of this machine, and the loopback only where none that does was ever seen.
   */
  chosen(wanted: string | undefined, family: Family): readonly Link[] {
    const links = this.#links.filter((link) => link.family === family);
    if (wanted !== undefined) {
      const exact = links.find((link) => link.address === wanted);
      if (exact !== undefined) return [exact];
      const named = this.#links.find((link) => link.name === wanted || link.address === wanted)?.name;
      return firstOfEach(links.filter((link) => link.name === named));
    }
    const outward = links.filter((link) => !link.internal);
    const seen = this.#outwardSeen().some((link) => link.family === family);
    return firstOfEach(seen ? outward : links);
  }

  /** Names of the interfaces that {@link chosen} would give, were they up. */
  away(wanted: string | undefined, family: Family): readonly string[] {
    if (wanted !== undefined) return this.chosen(wanted, family).length > 0 ? [] : [wanted];
    const present = new Set(this.#links.filter((link) => link.family === family).map((link) => link.name));
    const seen = this.#outwardSeen().filter((link) => link.family === family);
    return [...new Set(seen.map((link) => link.name))].filter((name) => !present.has(name));
  }

  #verdict(address: string): { readonly reaches: boolean; readonly link: Link | undefined } {
    const known = this.#verdicts.get(address);
    if (known !== undefined) return known;
    if (this.#verdicts.size >= VERDICTS) this.#verdicts.clear();
    const link = this.#links.find((one) => sameSubnet(one, address));
    const verdict = { reaches: this.#judge(address, link), link };
    this.#verdicts.set(address, verdict);
    return verdict;
  }

  #judge(address: string, link: Link | undefined): boolean {
    if (isLoopback(address) || (link !== undefined && !link.internal)) return true;
    const family = familyOf(address);
    const leadsOut = this.#links.some((one) => one.family === family && !one.internal);
    return leadsOut && !this.#outwardSeen().some((one) => sameSubnet(one, address));
  }

  #outwardSeen(): Link[] {
    return [...this.#lastSeen.values()].flat().filter((link) => !link.internal);
  }
}

/** The address that everybody in the subnet of an IPv4 link listens to: every host bit set. */
export function directedBroadcast(link: Link): string {
  const mask = link.netmask.split('.').map(Number);
  return link.address
    .split('.')
    .map((octet, i) => Number(octet) | (~(mask[i] ?? 0) & 0xff))
    .join('.');
}

function byInterface(links: readonly Link[]): Map<string, Link[]> {
  const groups = new Map<string, Link[]>();
  for (const link of links) {
    const key = `${link.name} ${link.family}`;
    groups.set(key, [...(groups.get(key) ?? []), link]);
  }
  return groups;
}

const firstOfEach = (links: readonly Link[]): Link[] =>
  links.filter((link, i) => links.findIndex(({ name }) => name === link.name) === i);

const fingerprint = (links: readonly Link[]): string =>
  links
    .map((link) => Object.values(link).join(' '))
    .sort()
    .join('\n');
