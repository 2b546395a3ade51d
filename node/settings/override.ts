import { InputError } from '../core/errors.ts';
import { isMulticast, linkName, type OutputSettings, outputSettings, parseDestination } from '../core/output-settings.ts';
import { groupRefusal } from './check.ts';

/** What the command line may say of outputs; absent: as the settings have it. */
export interface OutputFlags {
  readonly sacn?: string;
  readonly artnet?: string;
  readonly interface?: string;
}

const words = { sacn: 'multicast', artnet: 'auto' } as const;

/**
 * The outputs as the command line wants them. The settings stay as they are.
 * @throws InputError for a flag that is neither the protocol's own word, nor an address, nor `off`.
 */
export function overrideOutputs(settings: readonly OutputSettings[], flags: OutputFlags): readonly OutputSettings[] {
  let outputs = settings;
  for (const protocol of ['sacn', 'artnet'] as const) {
    const flag = flags[protocol];
    if (flag !== undefined) outputs = redirect(outputs, protocol, flag);
  }
  const link = flags.interface === undefined ? undefined : linkName.safeParse(flags.interface);
  if (link?.success === false)
    throw new InputError(`--interface: ${link.error.issues[0]?.message ?? 'must be a name or an address'}`);
  return flags.interface === undefined ? outputs : outputs.map((one) => ({ ...one, interface: flags.interface }));
}

function redirect(outputs: readonly OutputSettings[], protocol: 'sacn' | 'artnet', flag: string): readonly OutputSettings[] {
  const others = outputs.filter((one) => one.protocol !== protocol);
  if (flag === 'off') return others;
  const word = words[protocol];
  const destination = parseDestination(flag);
  if (flag !== word && (destination === undefined || (protocol === 'artnet' && destination.address.includes(':')))) {
    const kind = protocol === 'artnet' ? 'IPv4' : 'IP';
    throw new InputError(`--${protocol} ${flag}: must be ${word}, off or an ${kind} address with :PORT behind it if need be`);
  }
  if (destination !== undefined && isMulticast(destination.address))
    throw new InputError(`--${protocol}: ${groupRefusal(protocol, flag)}`);
  const to = flag === word ? word : [flag];
  const has = outputs.filter((one) => one.protocol === protocol);
  const base = has.length > 0 ? has : [outputSettings.parse({ id: protocol, protocol })];
  return [...others, ...base.map((one) => outputSettings.parse({ ...one, to }))];
}
