import { effect, signal } from '@preact/signals';
import { aims, hello, picture } from '../state.ts';
import type { Moment, Order } from './easel.ts';
import type { Shown } from './painter.ts';

/**
 * Where pictures are painted: in a worker, or by the page itself where a browser has no canvases for workers or does not get ours.
 * A canvas that a worker was given never comes back, so what is mounted is mounted anew when this changes.
 */
export const isApart = signal(typeof Worker === 'function' && 'transferControlToOffscreen' in HTMLCanvasElement.prototype);

type Send = (order: Order, transfer?: Transferable[]) => void;
let send: Send | undefined;
let lastId = 0;

/** The canvas's number, by which it is closed when it has gone from the page. */
export function paintRoom(canvas: HTMLCanvasElement): {
  readonly size: (width: number, height: number) => void;
  readonly close: () => void;
} {
  const id = ++lastId;
  hand({ do: 'room', id }, canvas);
  return { size: (width, height) => order({ do: 'size', id, width, height }), close: () => order({ do: 'close', id }) };
}

/** Paints moments one below the other over the whole of a canvas. */
export function paintStrip(canvas: HTMLCanvasElement, moments: readonly Moment[], first: boolean): () => void {
  const id = ++lastId;
  hand({ do: 'strip', id, moments, first }, canvas);
  return () => order({ do: 'close', id });
}

/** Shows something else than the room as it is lit, until it is told so again. */
export function paintInstead(what: (Moment & { readonly fixtures: readonly Shown[] }) | undefined): void {
  order({ do: 'instead', ...what });
}

type Handed = Omit<Extract<Order, { do: 'room' }>, 'canvas'> | Omit<Extract<Order, { do: 'strip' }>, 'canvas'>;

function hand(rest: Handed, canvas: HTMLCanvasElement): void {
  const given = isApart.peek() ? canvas.transferControlToOffscreen() : canvas;
  order({ ...rest, canvas: given } as Order, given instanceof HTMLCanvasElement ? [] : [given]);
}

function order(what: Order, transfer?: Transferable[]): void {
  if (send === undefined) {
    send = isApart.peek() ? apart() : here();
    tellOf(send);
  }
  send(what, transfer);
}

function apart(): Send {
  const worker = new Worker(new URL('./easel-worker.ts', import.meta.url), { type: 'module' });
  worker.onerror = () => {
    worker.terminate();
    send = undefined;
    isApart.value = false;
  };
  return (what, transfer = []) => worker.postMessage(what, transfer);
}

function here(): Send {
  const easel = import('./easel.ts').then(({ Easel }) => new Easel());
  return (what) => void easel.then((one) => one.take(what));
}

/** Tells the easel of the lamps and of the light, as long as it is the one that paints. */
function tellOf(to: Send): void {
  let lamps = '';
  let due = false;
  const ends = [
    effect(() => {
      const fixtures = (hello.value?.show.fixtures ?? []).map(
        ({ band, use, head }): Shown => (head === true ? { band, use, head } : { band, use }),
      );
      // A line that came back brings the same lamps.
      const told = JSON.stringify(fixtures);
      if (told !== lamps) to({ do: 'lamps', fixtures });
      lamps = told;
    }),
    // The two come in one message and are told as one.
    effect(() => {
      picture.value;
      aims.value;
      if (!due) queueMicrotask(light);
      due = true;
    }),
  ];
  function light(): void {
    due = false;
    if (send !== to) for (const end of ends) end();
    else to({ do: 'light', colours: picture.peek(), aims: aims.peek() });
  }
}
