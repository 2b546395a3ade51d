import { InputError, type Problem } from '../core/errors.ts';
import { readAs } from '../core/explain.ts';
import {
  type ArtnetSettings,
  isMulticast,
  LAST_PORT_ADDRESS,
  type OutputSettings,
  parseDestination,
} from '../core/output-settings.ts';
import type { Universe } from '../core/units.ts';
import { type Settings, settingsDocument } from './settings.ts';

const MISTAKES = 'The settings have mistakes';

/**
 * Settings from a value taken out of JSON; what is left out stands at its default.
 * @param inUse universes of the show that plays, which the outputs must be able to carry
 * @throws InputError naming every problem found: where, what is allowed, what stands there
 */
export function checkSettings(json: unknown, inUse: readonly Universe[] = []): Settings {
  const settings = readAs(settingsDocument, json, MISTAKES);
  const problems = outputProblems(settings.outputs, inUse);
  if (problems.length > 0) throw new InputError(MISTAKES, problems);
  return settings;
}

/** Of a node that nobody has ever set anything on. */
export const standardSettings = checkSettings({ format: 'duskhand-settings', version: 1 });

/** Outputs that could not work together, or not at all. */
function outputProblems(outputs: readonly OutputSettings[], inUse: readonly Universe[]): Problem[] {
  const problems: Problem[] = [];
  const wrong = (path: string, message: string): void => void problems.push({ path, message });
  const seen = new Set<string>();
  let artnet: number | undefined;
  for (const [i, output] of outputs.entries()) {
    if (seen.has(output.id)) wrong(`outputs[${i}].id`, `"${output.id}" is given twice`);
    seen.add(output.id);
    const twice = output.universes?.find((universe, at, all) => all.indexOf(universe) !== at);
    if (twice !== undefined) wrong(`outputs[${i}].universes`, `universe ${twice} is given twice`);
    for (const [at, text] of (typeof output.to === 'string' ? [] : output.to).entries())
      if (isMulticast(parseDestination(text)?.address ?? '')) wrong(`outputs[${i}].to[${at}]`, groupRefusal(output.protocol, text));
    if (output.protocol !== 'artnet') continue;
    if (artnet !== undefined)
      wrong(
        `outputs[${i}]`,
        `outputs[${artnet}] is Art-Net already, and there is but one port 6454 to hear its nodes on; name more addresses there`,
      );
    artnet ??= i;
    for (const words of sharedAddresses(output, inUse)) wrong(`outputs[${i}].portAddresses`, words);
    const wanted = output.universes ?? inUse;
    const beyond = wanted.find((universe) => universe > LAST_PORT_ADDRESS && output.portAddresses[universe] === undefined);
    if (beyond !== undefined)
      wrong(
        `outputs[${i}].portAddresses`,
        `universe ${beyond} needs a Port-Address here, 0 to ${LAST_PORT_ADDRESS}: Art-Net has none of that number`,
      );
  }
  return problems;
}

/**
 * Why a group address is no destination. The groups of sACN are those of its universes (ANSI E1.31-2018, sections 9.1.1 and 9.3), which
 * `multicast` sends to: one address for all would send every universe to the receivers of one. Art-Net 4 sends levels by unicast.
 */
export const groupRefusal = (protocol: OutputSettings['protocol'], text: string): string =>
  protocol === 'sacn'
    ? `${text} is a multicast address; sACN has one for every universe, which "multicast" sends to: say "multicast", or the address of one device`
    : `${text} is a multicast address; Art-Net sends to devices: say "auto", or the address of one device`;

/** Universes that would go to one Port-Address: sent both, the lights would flicker between them. */
function sharedAddresses(output: ArtnetSettings, inUse: readonly Universe[]): string[] {
  const { universes, portAddresses } = output;
  const mapped = Object.keys(portAddresses).map(Number);
  const sent = new Set([...mapped, ...(universes ?? inUse)]);
  const byAddress = new Map<number, Universe>();
  return [...sent].flatMap((universe) => {
    const address = portAddresses[universe] ?? universe;
    const other = byAddress.get(address);
    byAddress.set(address, other ?? universe);
    return other === undefined ? [] : [`universe ${other} and universe ${universe} would both go to Port-Address ${address}`];
  });
}
