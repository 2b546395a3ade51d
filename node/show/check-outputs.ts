import { LAST_PORT_ADDRESS } from '../core/output-settings.ts';
import type { Show } from './document.ts';

/** Outputs that could not work together, or not at all. */
export function checkOutputs(show: Show, wrong: (path: string, message: string) => void): void {
  let artnet: number | undefined;
  for (const [i, output] of show.outputs.entries()) {
    if (output.protocol !== 'artnet') continue;
    if (artnet !== undefined)
      wrong(
        `outputs[${i}]`,
        `outputs[${artnet}] is Art-Net already, and there is but one port 6454 to hear its nodes on; name more addresses there`,
      );
    artnet ??= i;
    const carried = output.universes ?? show.fixtures.map(({ universe }) => universe);
    const beyond = carried.find((universe) => universe > LAST_PORT_ADDRESS && output.portAddresses[universe] === undefined);
    if (beyond !== undefined)
      wrong(
        `outputs[${i}].portAddresses`,
        `universe ${beyond} needs a Port-Address here, 0 to ${LAST_PORT_ADDRESS}: Art-Net has none of that number`,
      );
  }
}
