import { footprints } from '../../../../node/rig/fixture-type.ts';
import { typesWith } from '../../../../node/rig/library.ts';
import type { Show } from '../../../../node/show/document.ts';
import type { Fault } from '../../../../node/show/places.ts';
import { written } from '../../parts/address.ts';
import type { Light } from './making.ts';

/** `universe 1, slots 7 to 12`. */
export const slotsInWords = (universe: number, first: number, last: number): string =>
  `universe ${universe}, ${first === last ? `slot ${first}` : `slots ${first} to ${last}`}`;

/** Type and mode by their names: `LED par, red green blue; 7 channels`. */
export function typeInWords({ type, mode }: Pick<Light, 'type' | 'mode'>, { fixtureTypes }: Pick<Show, 'fixtureTypes'>): string {
  const found = typesWith(fixtureTypes).get(type);
  const own = found?.modes.find(({ id }) => id === mode);
  return found === undefined ? `unknown type “${type}”` : `${found.name}; ${own?.name ?? `no mode “${mode}”`}`;
}

/** Where it stands: `1.7–12`, each of its start addresses; nothing where it stands nowhere. */
export function standsAt(light: Light, { fixtureTypes }: Pick<Show, 'fixtureTypes'>): string {
  const { universe, address, further = [] } = light;
  if (universe === undefined || address === undefined) return '';
  const mode = typesWith(fixtureTypes)
    .get(light.type)
    ?.modes.find(({ id }) => id === light.mode);
  const sizes = mode === undefined ? [] : footprints(mode).map(({ size }) => size);
  return [{ universe, address }, ...further]
    .map((start, i) => {
      const last = start.address + Math.max(1, sizes[i] ?? 1) - 1;
      return `${written({ universe: start.universe, slot: start.address })}${last > start.address ? `–${last}` : ''}`;
    })
    .join(', ');
}

/** Capitals and accents do not count. */
const plain = (text: string): string => text.normalize('NFD').replace(/\p{M}/gu, '').toLowerCase();

/** Lights whose name, use, type or address has every word that is looked for. */
export function findLights(show: Show, text: string): Light[] {
  const words = plain(text).split(/\s+/).filter(Boolean);
  if (words.length === 0) return show.fixtures;
  return show.fixtures.filter((one) => {
    const said = plain(`${one.name} ${one.use} ${typeInWords(one, show)}`);
    const at = one.universe === undefined ? '' : `${one.universe}.${one.address ?? ''}`;
    return words.every((word) => said.includes(word) || at === word || `universe${one.universe}` === word);
  });
}

/** What is amiss with a light, by itself: its name stands beside it. */
export const faultsOfLight = (faults: readonly Fault[], id: string): readonly Fault[] =>
  faults.filter((fault) => fault.kind === 'fixture' && fault.id === id);

/** That, and what the other of two says that share a slot: both are looked at when they clash. */
export const clashesOfLight = (faults: readonly Fault[], { id, name }: Pick<Light, 'id' | 'name'>): readonly Fault[] =>
  faults.filter((fault) => fault.kind === 'fixture' && (fault.id === id || fault.message.includes(`and "${name}" both want`)));

/** Whether a new address would mend it. */
export const isOfAddress = ({ kind, field }: Fault): boolean =>
  kind === 'fixture' && (field === 'address' || field === 'universe' || field === 'further');
