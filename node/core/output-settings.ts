import { z } from 'zod';
import { plainText } from './text.ts';
import type { PortAddress, Universe } from './units.ts';

/** ANSI E1.31-2018 section 9.1.1: universes that carry data, and synchronization addresses. */
export const FIRST_UNIVERSE: Universe = 1;
export const LAST_UNIVERSE: Universe = 63999;
export const universeNumber = z.int().min(FIRST_UNIVERSE).max(LAST_UNIVERSE);
/** Art-Net 4: Net, Sub-Net and Universe in 15 bits. */
export const LAST_PORT_ADDRESS: PortAddress = 32767;
const portAddressNumber = z.int().min(0).max(LAST_PORT_ADDRESS);

const ipv6 = z.ipv6();
const ip = z.union([z.ipv4(), ipv6]);

export interface Destination {
  readonly address: string;
  readonly port: number | undefined;
}

/** Reads `192.0.2.7`, `192.0.2.7:5568`, `2001:db8::7` or `[2001:db8::7]:5568`; undefined when it is none of them. */
export function parseDestination(text: string): Destination | undefined {
  const bracketed = /^\[([^\]]+)\](?::(\d{1,5}))?$/.exec(text);
  const plain = bracketed ?? (ipv6.safeParse(text).success ? [text, text, undefined] : /^([^:]+)(?::(\d{1,5}))?$/.exec(text));
  const address = plain?.[1];
  if (address === undefined || !ip.safeParse(address).success) return undefined;
  const port = plain?.[2] === undefined ? undefined : Number(plain[2]);
  return port === 0 || (port !== undefined && port > 65535) ? undefined : { address, port };
}

const destination = z
  .string()
  .refine((text) => parseDestination(text) !== undefined, { error: 'must be an IP address, with :PORT behind it if need be' });

const destinationIPv4 = destination.refine((text) => !ipv6.safeParse(parseDestination(text)?.address).success, {
  error: 'must be an IPv4 address: Art-Net 4 knows no other',
});

/** Whether an address is of a group: IPv4 224.0.0.0/4 (RFC 5771), also mapped into IPv6, and IPv6 ff00::/8 (RFC 4291, section 2.7). */
export const isMulticast = (address: string): boolean =>
  address.includes(':')
    ? /^\[(?:ff..|::ffff:e...):/.test(new URL(`http://[${address}]`).hostname)
    : /^(?:22[4-9]|23\d)\./.test(address);

/** More universes than a show has fixtures are never sent. */
const MOST_UNIVERSES = 2000;

/** Name or address of a network interface. */
export const linkName = plainText.min(1).max(60);

const common = {
  id: plainText
    .min(1)
    .max(40)
    .refine((text) => !(text in {}), { error: 'is a word that every object knows already; give it another' }),
  /** Absent: every universe of the show. */
  universes: z.array(universeNumber).min(1).max(MOST_UNIVERSES).optional(),
  /** Name or address of the interface to send by; absent: every one that is up (loopback only when there is no other). */
  interface: linkName.optional(),
};

export const sacnSettings = z.strictObject({
  ...common,
  protocol: z.literal('sacn'),
  to: z.union([z.literal('multicast'), z.array(destination).min(1).max(16)]).default('multicast'),
  family: z.enum(['IPv4', 'IPv6']).default('IPv4'),
  priority: z.int().min(0).max(200).default(100),
  /** Universe number of the synchronization address; absent: not synchronized. */
  sync: universeNumber.optional(),
  /**
   * Milliseconds from a frame's last data packet to its synchronization packet, so that receivers have taken in the data before they act
   * on it (E1.31-2018 section 11.2.2). Absent: 2.
   */
  syncDelay: z.number().min(0).max(10).optional(),
});

export const artnetSettings = z.strictObject({
  ...common,
  protocol: z.literal('artnet'),
  to: z.union([z.literal('auto'), z.array(destinationIPv4).min(1).max(16)]).default('auto'),
  /** Sends ArtSync behind every frame. */
  sync: z.boolean().default(false),
  /** Port-Address by universe, where it is not the same number. */
  portAddresses: z
    .record(z.string().regex(/^[1-9]\d{0,4}$/, { error: 'must be the number of a universe' }), portAddressNumber)
    .default({}),
});

export const outputSettings = z.discriminatedUnion('protocol', [sacnSettings, artnetSettings]);
export type SacnSettings = z.infer<typeof sacnSettings>;
export type ArtnetSettings = z.infer<typeof artnetSettings>;
export type OutputSettings = z.infer<typeof outputSettings>;

/** Whether an output carries a universe where the show has it. */
export const carries = ({ universes }: Pick<OutputSettings, 'universes'>, universe: Universe): boolean =>
  universes?.includes(universe) ?? true;

/** Which of these universes an output carries. */
export const universesOf = (output: Pick<OutputSettings, 'universes'>, all: readonly Universe[]): Universe[] =>
  all.filter((universe) => carries(output, universe));
