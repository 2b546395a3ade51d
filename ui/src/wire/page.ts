import { computed, effect, signal } from '@preact/signals';
import type { Address } from '../parts/address.ts';
import { media } from '../parts/media.ts';
import { lookFor } from '../route.ts';
import { hello } from '../state.ts';
import { search } from './search.ts';
import type { Walk } from './walk.ts';

/** What this page is asked to show. None of it reaches the node. */
export interface Picked {
  /** Absent: a slot that no fixture answers to. */
  readonly fixture: string | undefined;
  /** The slot that was asked for, to be found at once among the fixture's. */
  readonly slot: Address | undefined;
}
export const picked = signal<Picked | undefined>(undefined);
export const asked = signal('');
/** What another screen asked to be found. */
effect(() => {
  if (lookFor.value !== '') asked.value = lookFor.value;
});
export const changedOnly = signal(false);
export const walk = signal<Walk | undefined>(undefined);

export const laptop = media('(min-width: 900px)');

export const fixtures = computed(() => hello.value?.show.fixtures ?? []);
export const byId = computed(() => new Map(fixtures.value.map((fixture) => [fixture.id, fixture])));
/** Place of each fixture in the picture of the light. */
export const places = computed(() => new Map(fixtures.value.map(({ id }, i) => [id, i])));
export const found = computed(() => search(fixtures.value, asked.value));
export const nameOf = (id: string): string => byId.value.get(id)?.name ?? id;
