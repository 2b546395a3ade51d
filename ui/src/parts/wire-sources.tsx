import type { ForeignSource } from '../../../node/api/contract.ts';
import { nodeNow } from '../state.ts';
import { halfSeconds } from '../ticker.ts';
import { agoWords, protocolNames } from '../wire/health.ts';
import { samples } from '../wire/watching.ts';

/** Who else is talking to our lights, and what that means for them. */
export function Sources() {
  const sources = samples.value.at(-1)?.report.sources;
  return (
    <section class="wire-sources" aria-labelledby="wire-sources">
      <h2 id="wire-sources" tabIndex={-1}>
        Who else is talking
      </h2>
      {sources?.length === 0 && <p class="quiet">Nobody else is heard on our universes.</p>}
      {sources !== undefined && sources.length > 0 && (
        <ul>
          {sources.map((source) => (
            <Source key={`${source.protocol} ${source.universe} ${source.address} ${source.name}`} source={source} />
          ))}
        </ul>
      )}
    </section>
  );
}

function Source({ source }: { readonly source: ForeignSource }) {
  halfSeconds.value;
  const { protocol, universe, portAddress, name, address, priority, perSecond, meaning, lastSeenAt } = source;
  const heard =
    nodeNow() - lastSeenAt > 2000 ? `last heard ${agoWords(nodeNow() - lastSeenAt)}` : `${Math.round(perSecond)} packets a second`;
  return (
    <li>
      <h3>
        {name || address} on universe {universe}
      </h3>
      <p>{meaning}</p>
      <p class="quiet">
        {protocolNames[protocol]} from {address}
        {priority !== undefined && `, priority ${priority}`}
        {portAddress !== undefined && `, port-address ${portAddress}`}, {heard}.
      </p>
    </li>
  );
}
