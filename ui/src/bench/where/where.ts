import { computed, signal } from '@preact/signals';
import { release } from '../../api.ts';
import { state } from '../../state.ts';
import { draft } from '../draft.ts';

/** Where what is changed on the bench goes: to the lights at once, or only into the document until somebody shows it. */
export type Where = 'lights' | 'here';

/** What somebody has chosen on this page, or what it began with. */
const chosen = signal<Where | undefined>(undefined);

/** Something is on that needs a person: there are guests, or somebody looks at the lights. */
const isNight = computed(
  () =>
    state.value?.playing.some(
      ({ unattended, tried, state: how }) => !unattended && tried !== true && (how === 'on' || how === 'coming'),
    ) ?? false,
);

/** Who holds back from the lights what was changed last. While it is held, nothing that anybody changes reaches them. */
export const heldBy = computed(() => draft.value?.held);

/** Until somebody chooses: only here while the show runs, and on the lights while nothing does. */
export const where = computed<Where>(() =>
  heldBy.value !== undefined ? 'here' : (chosen.value ?? (isNight.value ? 'here' : 'lights')),
);

/** Why it could not be shown, in a sentence. */
export const notShown = signal<string | undefined>(undefined);

/**
 * The bench is opened, and something is known of what plays: from now on it stays as it is. A look that its maker tries out by its button is
 * no show that has begun.
 */
export function begin(): void {
  if (chosen.peek() === undefined && state.value !== undefined) chosen.value = isNight.peek() ? 'here' : 'lights';
}

/** The bench is left: when it is opened again, what plays then counts. */
export const leave = (): void => {
  chosen.value = undefined;
};

export const workHere = (): void => {
  notShown.value = undefined;
  chosen.value = 'here';
};

/** From now on the lights follow, with what was held back. */
export async function workOnLights(): Promise<void> {
  notShown.value = undefined;
  try {
    if (heldBy.peek() !== undefined) await release();
    chosen.value = 'lights';
  } catch (error) {
    notShown.value = error instanceof Error ? error.message : String(error);
  }
}
