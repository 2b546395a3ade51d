import { dipSwitches, switchesInWords } from '../../../node/plan/patch/dip.ts';

/** The address switches of a lamp as they stand on it: a knob at the top is on. In words where they do not reach. */
export function Dip({ address }: { readonly address: number }) {
  const switches = dipSwitches(address);
  const words = switchesInWords(address);
  if (switches === undefined) return <span>{words}</span>;
  return (
    <svg class="dip" viewBox={`0 0 ${switches.length * 12 + 2} 28`} role="img" aria-label={`Switches: ${words}`}>
      {switches.map((on, i) => (
        <g key={`${i + 1}`} transform={`translate(${i * 12 + 2} 1)`}>
          <rect class="well" x="0" y="0" width="10" height="15" />
          <rect class={on ? 'knob on' : 'knob'} x="2" y={on ? 2 : 8} width="6" height="5" />
          <text x="5" y="26" text-anchor="middle">
            {i + 1}
          </text>
        </g>
      ))}
    </svg>
  );
}
