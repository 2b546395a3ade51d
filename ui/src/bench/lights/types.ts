import { signal } from '@preact/signals';
import type { TypeChoice } from '../../../../node/api/edit-contract.ts';
import type { Show } from '../../../../node/show/document.ts';
import { choiceOf } from '../../../../node/show/type-choice.ts';
import { getTypes } from '../../api.ts';

/** The library's types and the imported ones, as the node lists them. */
const listed = signal<readonly TypeChoice[] | undefined>(undefined);
/** Why there are none. */
export const typesTrouble = signal<string | undefined>(undefined);

export async function loadTypes(): Promise<void> {
  try {
    listed.value = await getTypes();
    typesTrouble.value = undefined;
  } catch (error) {
    typesTrouble.value = error instanceof Error ? error.message : String(error);
  }
}

/** All that may be added: those that the show uses or brings along first, then the others. */
export function choices({ fixtures, fixtureTypes }: Pick<Show, 'fixtures' | 'fixtureTypes'>): readonly TypeChoice[] {
  const own = fixtureTypes.map((type): TypeChoice => ({ ...choiceOf(type), from: 'show' }));
  const others = (listed.value ?? []).filter(({ id }) => !own.some((one) => one.id === id));
  const used = new Set(fixtures.map(({ type }) => type));
  const all = [...own, ...others];
  return [...all.filter(({ id }) => used.has(id)), ...all.filter(({ id }) => !used.has(id))];
}
