import { computed } from '@preact/signals';
import { hello, nodeNow, state } from '../state.ts';
import { isPlanned, type Tonights, tonights } from './evening.ts';

/** The evening as the node says that it goes, as one text: most states that come change nothing of it but the time. */
const told = computed(() => {
  const evening = state.value?.evening;
  return evening === undefined ? undefined : JSON.stringify({ ...evening, wall: 0 });
});

/** The moments in tonight's order, as they stand. */
export const evening = computed<readonly Tonights[]>(() =>
  tonights(hello.value?.show.moments ?? [], told.value === undefined ? undefined : JSON.parse(told.value)),
);
export const hasPlan = computed(() => isPlanned(evening.value));
export const onNow = computed(() => evening.value.find(({ isOn }) => isOn));
export const late = computed(() => state.value?.evening?.late ?? 0);

/** The date and time on the node now, to which the times of the evening refer. Milliseconds since the epoch. */
export function wallNow(): number {
  const now = state.peek();
  return now?.evening === undefined ? Date.now() : now.evening.wall + nodeNow() - now.now;
}

/** What comes behind the moment that is on; where none is, behind the one whose page is seen. */
export function nextAfter(page: string | undefined): Tonights | undefined {
  const all = evening.value;
  const from = onNow.value?.id ?? page;
  return all[all.findIndex(({ id }) => id === from) + 1];
}
