import { type FixtureType, footprint } from '../rig/fixture-type.ts';
import { library } from '../rig/library.ts';
import { factsOf } from '../rig/type-facts.ts';
import type { ImportedType, TypeRow } from './local-contract.ts';

const modesOf = ({ modes }: FixtureType): TypeRow['modes'] =>
  modes.map((mode) => ({ id: mode.id, name: mode.name, channels: footprint(mode) }));

/** What an import came to. */
export const importedRow = (type: FixtureType): ImportedType => ({
  id: type.id,
  name: type.name,
  modes: modesOf(type),
  left: type.source?.left ?? [],
});

/** The library's types, then the imported ones. */
export const typeRows = (imported: readonly FixtureType[]): TypeRow[] => [
  ...[...library.values()].map((type) => rowOf(type, 'library')),
  ...imported.map((type) => rowOf(type, 'import')),
];

const rowOf = (type: FixtureType, from: TypeRow['from']): TypeRow => ({
  id: type.id,
  name: type.name,
  from,
  modes: modesOf(type),
  facts: factsOf(type),
});
