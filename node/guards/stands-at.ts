import type { StartAddress } from '../rig/rig.ts';

/** By which a guard knows a fixture from one show to the next, whatever it is called there: what stands at an address is what the light comes from. */
export const standsAt = ({ universe, address }: StartAddress): string => `${universe}.${address}`;
