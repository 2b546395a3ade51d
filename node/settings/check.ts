import { InputError, type Problem } from '../core/errors.ts';
import { readAs } from '../core/explain.ts';
import { LAST_PORT_ADDRESS, type OutputSettings } from '../core/output-settings.ts';
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
    if (output.protocol !== 'artnet') continue;
    if (artnet !== undefined)
      wrong(
        `outputs[${i}]`,
        `outputs[${artnet}] is Art-Net already, and there is but one port 6454 to hear its nodes on; name more addresses there`,
      );
    artnet ??= i;
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
