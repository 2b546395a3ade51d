import { signal, useComputed } from '@preact/signals';
import { useEffect, useLayoutEffect, useMemo, useRef, useState } from 'preact/hooks';
import type { FixtureSummary } from '../../../node/api/contract.ts';
import { settings } from '../settings.ts';
import { picture } from '../state.ts';
import { type Address, SLOTS, written } from '../wire/address.ts';
import { hand } from '../wire/held.ts';
import { picked, places } from '../wire/page.ts';
import { inkOf, paint } from '../wire/paint.ts';
import { COUNTED_GAP, LINE, layOut, type Placed, piecesOf, type Ribbon, slotAt } from '../wire/ribbon.ts';
import { levels, onLevels, repaint } from '../wire/watching.ts';
import { Rate } from './wire-rate.tsx';

/** Pixels of a fixture's lamp before its name; a finger's target is never narrower than a finger. */
const LAMP = 20;
const NARROWEST = 56;
/** A show of so many lights has all their names on the page, for those who listen; a larger one those that come near the screen. */
const ALL_NAMED = 300;
/** Pixels before a picture comes into view at which it is made. */
const NEAR = '300px';

interface RibbonProps {
  readonly universe: number;
  readonly fixtures: readonly FixtureSummary[];
  /** Without, only the fixtures that were asked for. */
  readonly gaps: boolean;
  readonly width: number;
}

/** One universe: its name, how it fares, and the ribbon of its fixtures. Off the screen it is an empty space of the same height. */
export function UniverseRibbon({ universe, fixtures, gaps, width }: RibbonProps) {
  const ribbon = useMemo(() => layOut(piecesOf(fixtures, gaps), width, wordWidth), [fixtures, gaps, width, lettersCame.value]);
  const place = useRef<HTMLDivElement>(null);
  const near = useNear(place);
  const used = fixtures.reduce((sum, { channels }) => sum + channels.length, 0);
  return (
    <section class="wire-universe" aria-labelledby={`universe-${universe}`}>
      <header>
        <h2 id={`universe-${universe}`}>Universe {universe}</h2>
        <p class="quiet">
          {fixtures.length === 1 ? '1 light' : `${fixtures.length} lights`}, {used} of {SLOTS} slots. <Rate universe={universe} />
        </p>
      </header>
      <div ref={place} class="wire-ribbon" style={{ height: `${ribbon.height}px` }}>
        {near && <Picture universe={universe} ribbon={ribbon} width={width} />}
        {(near || places.value.size <= ALL_NAMED) && <Words universe={universe} ribbon={ribbon} />}
      </div>
    </section>
  );
}

let ruler: CanvasRenderingContext2D | null | undefined;
/** A name measured before its letters have come over the network is measured in others. */
const lettersCame = signal(false);
void document.fonts.ready.then(() => {
  lettersCame.value = true;
});

/** Width of a fixture's name as it is written over the ribbon. */
function wordWidth({ name }: FixtureSummary): number {
  ruler ??= document.createElement('canvas').getContext('2d');
  if (ruler === null) return NARROWEST;
  const { fontFamily, fontSize } = getComputedStyle(document.documentElement);
  ruler.font = `${fontSize} ${fontFamily}`;
  return Math.max(NARROWEST, LAMP + Math.ceil(ruler.measureText(name).width) + 2);
}

function useNear(place: { readonly current: HTMLDivElement | null }): boolean {
  const [near, setNear] = useState(false);
  useEffect(() => {
    if (place.current === null) return;
    const options = { root: place.current.closest('main'), rootMargin: NEAR };
    const seen = new IntersectionObserver((entries) => setNear(entries.at(-1)?.isIntersecting ?? false), options);
    seen.observe(place.current);
    return () => seen.disconnect();
  }, [place]);
  return near;
}

interface PictureProps {
  readonly universe: number;
  readonly ribbon: Ribbon;
  readonly width: number;
}

function Picture({ universe, ribbon, width }: PictureProps) {
  const canvas = useRef<HTMLCanvasElement>(null);
  // A dimmer screen is painted in other colours.
  const { dimmer } = settings.value;
  useLayoutEffect(() => {
    if (canvas.current === null) return;
    return keepPainted(canvas.current, universe, ribbon, width);
  }, [universe, ribbon, width, dimmer]);
  return (
    <>
      <canvas ref={canvas} />
      {ribbon.placed.map((piece) =>
        piece.kind === 'gap' && piece.last - piece.first + 1 >= COUNTED_GAP ? (
          <span key={piece.first} class="wire-gap quiet" style={boxOf(piece)}>
            {piece.last - piece.first + 1} free
          </span>
        ) : null,
      )}
    </>
  );
}

const boxOf = ({ x, y, width }: Placed) => ({ left: `${x}px`, top: `${y}px`, width: `${width}px`, height: `${LINE}px` });

/** Paints all of it now, and from then on what has changed. Returns what ends it. */
function keepPainted(canvas: HTMLCanvasElement, universe: number, { placed, height }: Ribbon, width: number): () => void {
  const density = Math.min(2, devicePixelRatio);
  canvas.width = Math.round(width * density);
  canvas.height = Math.round(height * density);
  canvas.style.width = `${width}px`;
  canvas.style.height = `${height}px`;
  const to = canvas.getContext('2d');
  if (to === null) return () => undefined;
  to.scale(density, density);
  const ink = inkOf(canvas);
  const colours = placed.map(() => -1);
  let painted = -1;
  let changes = -1;
  const work = (): void => {
    const now = performance.now();
    const seen = levels.changes(universe);
    const slots = levels.slots(universe);
    const lights = picture.peek();
    placed.forEach((piece, i) => {
      const colour = piece.kind === 'gap' ? 0 : (lights[places.peek().get(piece.fixture.id) ?? -1] ?? 0);
      const same = changes > 0 && (seen === changes || !levels.changedSince(universe, piece.first, piece.last, painted));
      if (same && colour === colours[i]) return;
      colours[i] = colour;
      paint(to, piece, slots, colour, ink);
    });
    changes = seen;
    painted = now;
  };
  work();
  const stopLevels = onLevels(work);
  const stopPicture = picture.subscribe(repaint);
  return () => {
    stopLevels();
    stopPicture();
  };
}

/** The fixtures' names: what is pressed, and what those hear who cannot see the picture. One tab stop; arrows go from light to light. */
function Words({ universe, ribbon }: { readonly universe: number; readonly ribbon: Ribbon }) {
  const words = ribbon.placed.filter((piece) => piece.kind === 'fixture');
  const chosen = useComputed(() => picked.value?.fixture).value;
  const [stop, setStop] = useState<string>();
  const ids = words.map(({ fixture }) => fixture.id);
  const tabStop = [stop, chosen].find((id) => id !== undefined && ids.includes(id)) ?? ids[0];
  const go = (event: KeyboardEvent): void => {
    const list = event.currentTarget as HTMLElement;
    const options = [...list.querySelectorAll<HTMLElement>('[role=option]')];
    const at = options.indexOf(document.activeElement as HTMLElement);
    const to = goes[event.key]?.(at, options.length - 1);
    if (to === undefined) return;
    event.preventDefault();
    options[to]?.focus();
  };
  return (
    <div role="listbox" aria-label={`Lights on universe ${universe}`} onKeyDown={go}>
      {words.map((piece) => (
        <Word
          key={piece.fixture.id}
          piece={piece}
          chosen={piece.fixture.id === chosen}
          stop={piece.fixture.id === tabStop}
          onFocus={() => setStop(piece.fixture.id)}
        />
      ))}
    </div>
  );
}

const goes: Readonly<Record<string, (at: number, last: number) => number>> = {
  ArrowRight: (at, last) => Math.min(last, at + 1),
  ArrowDown: (at, last) => Math.min(last, at + 1),
  ArrowLeft: (at) => Math.max(0, at - 1),
  ArrowUp: (at) => Math.max(0, at - 1),
  Home: () => 0,
  End: (_, last) => last,
};

interface WordProps {
  readonly piece: Extract<Placed, { kind: 'fixture' }>;
  readonly chosen: boolean;
  readonly stop: boolean;
  readonly onFocus: () => void;
}

function Word({ piece, chosen, stop, onFocus }: WordProps) {
  const { fixture, first, last } = piece;
  const { universe } = fixture;
  const held = useComputed(() => {
    const { slots, identify } = hand.value;
    return (
      identify === fixture.id ||
      [...slots.values()].some((one) => one.universe === universe && one.slot >= first && one.slot <= last)
    );
  }).value;
  const pick = (event: MouseEvent): void => {
    // A press by keyboard has no place; one on the name means the whole fixture.
    const onStrip = event.detail > 0 && event.offsetY > LINE / 3;
    const slot: Address | undefined = onStrip ? { universe, slot: slotAt(piece, event.offsetX) } : undefined;
    picked.value = { fixture: fixture.id, slot };
    // What is told of it must not lie over it.
    const word = event.currentTarget as HTMLElement;
    requestAnimationFrame(() => word.scrollIntoView({ block: 'nearest' }));
  };
  const said = `${fixture.name}, ${fixture.use}, ${written({ universe, slot: first })}${held ? ', by hand' : ''}`;
  return (
    <button
      type="button"
      role="option"
      aria-selected={chosen}
      aria-label={said}
      tabIndex={stop ? 0 : -1}
      class={held ? 'wire-word held' : 'wire-word'}
      style={boxOf(piece)}
      onClick={pick}
      onFocus={onFocus}
    >
      <span>{fixture.name}</span>
    </button>
  );
}
