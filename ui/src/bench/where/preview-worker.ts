import type { OnNow, PreviewFrame, PreviewLamp } from '../../../../node/pipeline/preview.ts';
import { Preview } from '../../../../node/pipeline/preview.ts';
import type { AskedChange } from '../../../../node/show/change.ts';
import type { ItemKey, Show } from '../../../../node/show/document.ts';
import { applyEdit } from '../../../../node/show/edit.ts';

/** What the page tells the drawing. */
export type ToPreview =
  | { readonly do: 'show'; readonly show: Show }
  /** What is wanted of it and not stored yet. */
  | { readonly do: 'wanted'; readonly changes: readonly AskedChange[] }
  /** `now`: the node's clock. */
  | { readonly do: 'watch'; readonly open: ItemKey | undefined; readonly on: OnNow | undefined; readonly now: number };

/** What it tells the page: a frame, with the lamps where they are others than before; or that the newest state cannot be drawn. */
export type FromPreview = PreviewFrame & { readonly lamps?: readonly PreviewLamp[]; readonly isOld: boolean };

/** Milliseconds between frames. */
const EVERY = 66;

const preview = new Preview();
let show: Show | undefined;
let changes: readonly AskedChange[] = [];
/** The node's clock beside this one. */
let ahead = 0;
let isOld = false;
let told = '';
let toldLamps = '';

function take(): void {
  if (show === undefined) return;
  try {
    const done = changes.length === 0 ? { show } : applyEdit(show, changes, true);
    isOld = !preview.take('clashes' in done ? show : done.show);
  } catch {
    // What is being typed makes no sense yet.
    isOld = !preview.take(show);
  }
}

addEventListener('message', ({ data }: MessageEvent<ToPreview>) => {
  switch (data.do) {
    case 'show':
      show = data.show;
      take();
      return;
    case 'wanted':
      changes = data.changes;
      take();
      return;
    case 'watch':
      ahead = data.now - performance.now();
      preview.watch(data.open, data.on);
      return;
  }
});

setInterval(() => {
  const frame = preview.draw(performance.now() + ahead);
  if (frame === undefined) return;
  const text = JSON.stringify([frame, isOld]);
  const lamps = preview.lamps;
  const lampText = JSON.stringify(lamps);
  if (text === told && lampText === toldLamps) return;
  postMessage({ ...frame, isOld, ...(lampText === toldLamps ? {} : { lamps }) } satisfies FromPreview);
  told = text;
  toldLamps = lampText;
}, EVERY);
