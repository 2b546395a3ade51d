import { protocolNames } from '../wire/health.ts';
import { packetRate, rateWords } from '../wire/rates.ts';
import { samples } from '../wire/watching.ts';

/** How many packets a second leave for a universe, output by output. */
export function Rate({ universe }: { readonly universe: number }) {
  const list = samples.value;
  const outputs = list.at(-1)?.report.outputs.filter((one) => one.universes.some((u) => u.universe === universe)) ?? [];
  if (list.length === 0) return <span>Counting packets</span>;
  if (outputs.length === 0) return <span>No output carries it.</span>;
  return (
    <span>
      {outputs.map(({ id, protocol }, i) => (
        <span key={id}>
          {i > 0 && '; '}
          {protocolNames[protocol]}: {rateWords(packetRate(list, id, universe))}
        </span>
      ))}
    </span>
  );
}
