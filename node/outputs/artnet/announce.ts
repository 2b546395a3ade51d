import type { Link } from '../../core/ports.ts';
import type { PortAddress } from '../../core/units.ts';
import { ARTNET_PORT, GOOD_INPUT, POLL_FLAGS, PORT_TYPES, STATUS2, STYLES } from './packets.ts';
import type { Page } from './replies.ts';
import { artPoll, artPollReply } from './write.ts';

/** "Unknown", until the owner of Art-Net has given us a code of our own. */
const OEM = 0x00ff;
/** First of the ESTA identifiers that are set apart for prototypes. */
const ESTA_MANUFACTURER = 0x7ff0;
/** BindIndex is one octet, and 0 means the same as 1. */
const MOST_PAGES = 255;

export interface Identity {
  readonly nodeName: string;
  /** Two octets, as a device would count its firmware. */
  readonly firmwareVersion: number;
}

/** One page a Port-Address, the preferred form in Art-Net 4. Ports beyond the 255th work but are not announced. */
export function pagesOf(portAddresses: readonly PortAddress[]): readonly Page[] {
  const announced: readonly (PortAddress | undefined)[] =
    portAddresses.length === 0 ? [undefined] : portAddresses.slice(0, MOST_PAGES);
  return announced.map((portAddress, i) => ({ bindIndex: i + 1, portAddress }));
}

/** Our answer to a poll, as seen from `link`. `count` is the number of replies sent before, for the four digits of the report. */
export function announcement({ nodeName, firmwareVersion }: Identity, page: Page, link: Link, count: number): Uint8Array {
  const { portAddress, bindIndex } = page;
  const port = portAddress ?? 0;
  const first = (value: number): readonly number[] => [portAddress === undefined ? 0 : value, 0, 0, 0];
  const words = portAddress === undefined ? 'carries no universe' : `feeds Port-Address ${portAddress}`;
  return artPollReply({
    ip: link.address,
    port: ARTNET_PORT,
    firmware: firmwareVersion,
    netSwitch: port >> 8,
    subSwitch: (port >> 4) & 0x0f,
    oem: OEM,
    ubeaVersion: 0,
    status1: 0,
    estaMan: ESTA_MANUFACTURER,
    shortName: nodeName,
    longName: nodeName,
    // Code 0001 of the specification's table of NodeReport codes: up and well.
    nodeReport: `#0001 [${String(count % 10_000).padStart(4, '0')}] ${words}`,
    numPorts: portAddress === undefined ? 0 : 1,
    portTypes: first(PORT_TYPES.input),
    goodInput: first(GOOD_INPUT.dataReceived),
    goodOutputA: first(0),
    swIn: first(port & 0x0f),
    swOut: first(0),
    acnPriority: 0,
    swMacro: 0,
    swRemote: 0,
    style: STYLES.controller,
    mac: link.mac,
    bindIp: link.address,
    bindIndex,
    status2: STATUS2.port15bit,
    goodOutputB: first(0),
    status3: 0,
    responderUid: [0, 0, 0, 0, 0, 0],
    user: 0,
    refreshRate: 0,
    queuePolicy: 0,
  });
}

/** Asks every device for its ports, and to tell us when they change. */
export const ourPoll = (): Uint8Array =>
  artPoll({
    flags: POLL_FLAGS.replyOnChange,
    diagPriority: 0,
    targetTop: 0,
    targetBottom: 0,
    estaMan: ESTA_MANUFACTURER,
    oem: OEM,
  });
