import { counted } from '../../../../node/core/words.ts';
import { toRadians } from '../../../../node/rig/space.ts';
import type { Landmark, Show } from '../../../../node/show/document.ts';

interface TopViewProps {
  readonly show: Pick<Show, 'landmarks' | 'fixtures'>;
  /** The place that is open. */
  readonly chosen?: string;
}

/** Metres around all that is drawn. */
const AROUND = 1;
/** No picture shows less, metres. */
const LEAST = 4;

/** Places of the room and lights that have one, seen from above: x to the right, y up. Nothing where there is none. */
export function TopView({ show, chosen }: TopViewProps) {
  const { landmarks } = show;
  const lights = show.fixtures.flatMap(({ id, pose }) => (pose === undefined ? [] : [{ id, ...pose }]));
  if (landmarks.length + lights.length === 0) return null;
  const points = [...landmarks.flatMap(cornersOf), ...lights.map(({ x, y }) => [x, y] as const), [0, 0] as const];
  const [left, right] = ends(points.map(([x]) => x));
  const [low, high] = ends(points.map(([, y]) => y));
  const [wide, deep] = [right - left, high - low];
  // As large as letters are read at on a phone.
  const letter = Math.max(wide, deep) / 22;
  const told = `The room from above: ${counted(landmarks.length, 'place')} and ${counted(lights.length, 'light')}`;
  return (
    <figure class="top-view">
      <svg role="img" aria-label={told} viewBox={`${left} ${-high} ${wide} ${deep}`}>
        <path class="top-axes" d={`M${left} 0H${right}M0 ${-low}V${-high}`} />
        <text x={right - letter} y={letter * 1.2} font-size={letter} text-anchor="end">
          x
        </text>
        <text x={letter * 0.5} y={-high + letter * 1.2} font-size={letter}>
          y
        </text>
        {landmarks.map((one) => (
          <Place key={one.id} place={one} letter={letter} isChosen={one.id === chosen} isFarRight={one.x > left + wide * 0.6} />
        ))}
        {lights.map(({ id, x, y, facing }) => (
          <path
            key={id}
            class="top-light"
            d="M-.5 -.45L.7 0L-.5 .45Z"
            transform={`translate(${x} ${-y}) rotate(${-facing}) scale(${letter})`}
          />
        ))}
      </svg>
      <figcaption class="quiet">
        From above. The thin lines cross at 0, 0.{lights.length > 0 ? ' A triangle is a light and points to where it faces.' : ''}
      </figcaption>
    </figure>
  );
}

interface PlaceProps {
  readonly place: Landmark;
  readonly letter: number;
  readonly isChosen: boolean;
  /** Its name stands to its left then. */
  readonly isFarRight: boolean;
}

const Place = ({ place: { x, y, name, area }, letter, isChosen, isFarRight }: PlaceProps) => (
  <g class="top-place" data-chosen={isChosen}>
    {area !== undefined && (
      <rect
        x={x - area.width / 2}
        y={-y - area.depth / 2}
        width={area.width}
        height={area.depth}
        transform={`rotate(${-area.turned} ${x} ${-y})`}
      />
    )}
    <circle cx={x} cy={-y} r={letter / 3} />
    <text
      x={x + (isFarRight ? -1 : 1) * letter * 0.6}
      y={-y + letter * 0.35}
      font-size={letter}
      text-anchor={isFarRight ? 'end' : 'start'}
    >
      {name.length > MOST_LETTERS ? `${name.slice(0, MOST_LETTERS - 1)}…` : name}
    </text>
  </g>
);

const MOST_LETTERS = 18;

function cornersOf({ x, y, area }: Landmark): (readonly [x: number, y: number])[] {
  if (area === undefined) return [[x, y]];
  const [cos, sin] = [Math.cos(toRadians(area.turned)), Math.sin(toRadians(area.turned))];
  return [-0.5, 0.5].flatMap((u) =>
    [-0.5, 0.5].map((v) => {
      const [a, b] = [u * area.width, v * area.depth];
      return [x + a * cos - b * sin, y + a * sin + b * cos] as const;
    }),
  );
}

/** From the least to the most, with room around and never too near. */
function ends(all: readonly number[]): readonly [number, number] {
  const [least, most] = [Math.min(...all) - AROUND, Math.max(...all) + AROUND];
  const more = Math.max(0, LEAST - (most - least)) / 2;
  return [least - more, most + more];
}
