import { effect, signal } from '@preact/signals';
import type { AskedChange } from '../../../../node/show/change.ts';
import { type ItemKey, type ItemKind, itemKinds, type Part, type Show } from '../../../../node/show/document.ts';
import { listOf } from '../../../../node/show/things.ts';
import { paintInstead } from '../../room/painting.ts';
import { nodeNow, state } from '../../state.ts';
import { draft } from '../draft.ts';
import { waiting } from '../edits.ts';
import type { FromPreview, ToPreview } from './preview-worker.ts';

/** The lamps of what is drawn here. */
export const lampsHere = signal<NonNullable<FromPreview['lamps']>>([]);
/** A look that is no part of the show yet, which is drawn before it is made; and who it comes from. */
export const offered = signal<
  | { readonly look: { readonly id: string; readonly name: string; readonly parts: readonly Part[] }; readonly from: string }
  | undefined
>(undefined);
/** The newest state cannot be drawn: the picture shows the last one that could. */
export const isOld = signal(false);

/** The thing that is open on a page of the bench, if it is one that can be seen. @param pageOf the page on which a kind of thing is changed */
export function openThing(
  show: Show,
  [page, id]: readonly string[],
  pageOf: Readonly<Partial<Record<ItemKind, string>>>,
): { readonly key: ItemKey; readonly name: string } | undefined {
  for (const kind of itemKinds) {
    if (pageOf[kind] === undefined || pageOf[kind] !== page) continue;
    const found = listOf(show, kind).find((one) => one.id === id);
    if (found !== undefined) return { key: `${kind}:${found.id}`, name: found.name };
  }
  return undefined;
}

/**
 * Paints the room as it would look, in a thread of its own, until it is ended: one thing, or what is on.
 * @returns what ends it, and what is seen by it from then on
 */
export function drawHere(): { readonly watch: (open: ItemKey | undefined) => void; readonly end: () => void } {
  const worker = new Worker(new URL('./preview-worker.ts', import.meta.url), { type: 'module' });
  const send = (message: ToPreview): void => worker.postMessage(message);
  let open: ItemKey | undefined;
  worker.onmessage = ({ data }: MessageEvent<FromPreview>) => {
    if (data.lamps !== undefined) lampsHere.value = data.lamps;
    isOld.value = data.isOld;
    paintInstead({ fixtures: lampsHere.peek(), colours: data.colours, aims: data.aims });
  };
  worker.onerror = () => {
    isOld.value = true;
  };
  const watch = (): void => {
    const on = state.peek();
    const playing = on?.playing.filter(({ tried, state: how }) => tried !== true && (how === 'on' || how === 'coming')) ?? [];
    send({
      do: 'watch',
      open,
      on: on && {
        playing: playing.map(({ item, startedAt }) => ({ item, startedAt })),
        masters: on.masters,
        blackout: on.blackout,
        bpm: on.bpm,
      },
      now: nodeNow(),
    });
  };
  const ends = [
    effect(() => {
      if (draft.value !== undefined) send({ do: 'show', show: draft.value.show });
    }),
    effect(() => {
      const changes = [...waiting.value.values()].map(
        ({ kind, id, field, now }) => ({ do: 'set', kind, id, field, ...(now === undefined ? {} : { now }) }) as AskedChange,
      );
      const look = offered.value?.look;
      const added = look === undefined ? [] : [{ do: 'add', kind: 'look', id: look.id, now: look } as AskedChange];
      send({ do: 'wanted', changes: [...changes, ...added] });
    }),
    effect(() => {
      state.value;
      watch();
    }),
  ];
  return {
    watch: (thing) => {
      open = thing;
      watch();
    },
    end: () => {
      for (const one of ends) one();
      worker.terminate();
      paintInstead(undefined);
    },
  };
}
