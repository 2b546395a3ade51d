import { signal, useComputed } from '@preact/signals';
import { useEffect, useMemo, useRef, useState } from 'preact/hooks';
import type { FixtureSummary } from '../../../node/api/contract.ts';
import { SLOTS } from '../../../node/core/levels.ts';
import { counted } from '../../../node/core/words.ts';
import { places } from './page.ts';
import { Picture } from './picture.tsx';
import { sendingWords } from './rates.ts';
import { layOut, piecesOf } from './ribbon.ts';
import { samples } from './watching.ts';
import { Words } from './words.tsx';

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
          {counted(fixtures.length, 'light')}, {used} of {SLOTS} slots. <Rate universe={universe} />
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

/** How many packets a second leave for a universe. Drawn anew only when the words change. */
function Rate({ universe }: { readonly universe: number }) {
  return <span>{useComputed(() => sendingWords(samples.value, universe))}</span>;
}
