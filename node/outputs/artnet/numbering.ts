import { LAST_PORT_ADDRESS } from '../../core/output-settings.ts';
import type { PortAddress, Universe } from '../../core/units.ts';

export interface Numbering {
  /** Universes that Art-Net can carry, with their Port-Addresses. */
  readonly carried: ReadonlyMap<Universe, PortAddress>;
  /** The others, and why in words. */
  readonly left: ReadonlyMap<Universe, string>;
}

/**
 * Without a mapping a universe keeps its number, and Port-Address 0, which sACN does not know, stays unused. Where two universes are
 * mapped to one Port-Address the first has it: sent both, the lights would flicker between them.
 */
export function numbering(universes: readonly Universe[], portAddresses: Readonly<Record<string, PortAddress>>): Numbering {
  const carried = new Map<Universe, PortAddress>();
  const left = new Map<Universe, string>();
  const taken = new Map<PortAddress, Universe>();
  for (const universe of universes) {
    const portAddress: PortAddress = portAddresses[String(universe)] ?? (universe as number);
    const holder = taken.get(portAddress);
    if (portAddress > LAST_PORT_ADDRESS)
      left.set(universe, `universe ${universe} has no Port-Address (the highest is ${LAST_PORT_ADDRESS})`);
    else if (holder !== undefined)
      left.set(universe, `universe ${universe} has the Port-Address ${portAddress} of universe ${holder}`);
    else {
      carried.set(universe, portAddress);
      taken.set(portAddress, universe);
    }
  }
  return { carried, left };
}
