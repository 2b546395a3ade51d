import { protocolNames } from '../../../node/core/words.ts';
import { halfSeconds } from '../parts/ticker.ts';
import { ago } from '../parts/words.ts';
import { nodeNow } from '../state.ts';
import { type Talker, talkers, universeWords } from './health.ts';
import { samples } from './watching.ts';

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
          {talkers(sources).map((one) => (
            <Source key={JSON.stringify([one.protocol, one.name, one.address, one.priority, one.meaning])} of={one} />
          ))}
        </ul>
      )}
    </section>
  );
}

function Source({ of }: { readonly of: Talker }) {
  halfSeconds.value;
  const { protocol, universes, name, address, priority, perSecond, meaning, lastSeenAt } = of;
  const silent = nodeNow() - lastSeenAt;
  return (
    <li>
      <h3>
        {name || address} on {universeWords(universes)}
      </h3>
      <p>{meaning}</p>
      <p class="quiet">
        {protocolNames[protocol]} from {address}
        {priority !== undefined && `, priority ${priority}`},{' '}
        {silent > 2000
          ? `last heard ${ago(silent)}`
          : `${universes.length > 1 ? 'up to ' : ''}${Math.round(perSecond)} packets a second`}
        .
      </p>
    </li>
  );
}
