import { useLayoutEffect, useRef } from 'preact/hooks';
import { settings } from '../settings.ts';
import { picture } from '../state.ts';
import { places } from './page.ts';
import { inkOf, paint } from './paint.ts';
import { boxOf, COUNTED_GAP, type Ribbon } from './ribbon.ts';
import { levels, onLevels, repaint } from './watching.ts';

interface PictureProps {
  readonly universe: number;
  readonly ribbon: Ribbon;
  readonly width: number;
}

/** The ribbon's slots as bars, painted anew only where they change. */
export function Picture({ universe, ribbon, width }: PictureProps) {
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
