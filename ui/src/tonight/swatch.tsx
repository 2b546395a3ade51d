import { useId } from 'preact/hooks';
import type { ButtonSummary } from '../../../node/api/contract.ts';
import type { Band } from '../../../node/core/remote.ts';
import { hello } from '../state.ts';
import { BACK, EDGES, HEIGHT, WIDTH } from './room/shape.ts';

const { left, right, top, foot } = BACK;
/** Runs of each band from left to right, as outlines of its top and bottom edge. */
const outlines: Readonly<Record<Band, string>> = {
  ceiling: `M0 0 H${WIDTH} L${right} ${top} H${left} Z`,
  walls: `M0 0 L${left} ${top} H${right} L${WIDTH} 0 V${HEIGHT} L${right} ${foot} H${left} L0 ${HEIGHT} Z`,
  floor: `M0 ${HEIGHT} L${left} ${foot} H${right} L${WIDTH} ${HEIGHT} Z`,
  air: '',
};
const surfaces = ['ceiling', 'walls', 'floor'] as const;
const MOST = 8;

/**
 * What a button lights, laid out as it falls in the room; what it leaves alone stays empty. Where it only moves or changes what is lit
 * already, the place is marked without a colour.
 */
export function Swatch({ button: { swatch, uses } }: { readonly button: Pick<ButtonSummary, 'swatch' | 'uses'> }) {
  const id = useId();
  const lit = Object.keys(swatch).length > 0;
  const touched = new Set(lit ? [] : hello.value?.show.fixtures.flatMap(({ use, band }) => (uses.includes(use) ? [band] : [])));
  const air = (swatch.air ?? []).slice(0, MOST);
  return (
    <svg class="swatch" viewBox={`-2 -2 ${WIDTH + 4} ${HEIGHT + 4}`} aria-hidden="true">
      {surfaces.map((band) => (
        <g key={band}>
          <clipPath id={`${id}-${band}`}>
            <path d={outlines[band]} />
          </clipPath>
          {touched.has(band) && <path class="touched" d={outlines[band]} />}
          <g clip-path={`url(#${id}-${band})`}>
            {sample(swatch[band] ?? []).map((colour, i, all) => (
              <rect
                key={`${i}-${colour}`}
                x={(i * WIDTH) / all.length}
                width={WIDTH / all.length + 0.5}
                height={HEIGHT}
                fill={colour}
              />
            ))}
          </g>
        </g>
      ))}
      {touched.has('air') && <path class="touched-air" d={`M60 ${foot} L${left + 14} ${top} M100 ${foot} L${right - 14} ${top}`} />}
      {air.map((colour, i) => {
        const x = left + ((i + 0.5) * (right - left)) / air.length;
        return <path key={`${i}-${colour}`} class="shaft" d={`M${x - 1.5} ${top} h3 l4 ${foot - top} h-11 Z`} fill={colour} />;
      })}
      <path class="edges" d={`M0 0 H${WIDTH} V${HEIGHT} H0 Z ${EDGES}`} />
    </svg>
  );
}

/** At most eight of many, evenly taken. */
const sample = (colours: readonly string[]): readonly string[] =>
  colours.length <= MOST ? colours : Array.from({ length: MOST }, (_, i) => colours[Math.floor((i * colours.length) / MOST)] ?? '');
