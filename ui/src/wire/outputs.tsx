import type { NodeReport, OutputReport } from '../../../node/core/report.ts';
import { protocolNames } from '../../../node/core/words.ts';
import { healthOf } from '../parts/output-health.ts';
import { halfSeconds } from '../parts/ticker.ts';
import { ago } from '../parts/words.ts';
import { nodeNow } from '../state.ts';
import { faultWords, intervalWords, reportWords, takesWords } from './health.ts';
import { StateMark } from './mark.tsx';
import { samples } from './watching.ts';

/** Every output, how it fares, and what went wrong with it. */
export function Outputs() {
  const report = samples.value.at(-1)?.report;
  return (
    <section class="wire-outputs" aria-labelledby="wire-outputs">
      <h2 id="wire-outputs">Outputs</h2>
      {report === undefined ? (
        <p class="quiet">The node reports in a moment.</p>
      ) : (
        <ul>
          {report.outputs.map((output) => (
            <Output key={output.id} output={output} />
          ))}
        </ul>
      )}
      {report !== undefined && <Frames />}
    </section>
  );
}

function Output({ output }: { readonly output: OutputReport }) {
  const { state, words } = healthOf(output);
  const now = nodeNow();
  return (
    <li>
      <h3>
        <StateMark state={state} /> {protocolNames[output.protocol]}
      </h3>
      <p>{words}</p>
      <p class="quiet">Towards {output.towards}.</p>
      <p class="quiet">
        {output.packets.toLocaleString()} packets since it started
        {output.dropped > 0 && `, ${output.dropped.toLocaleString()} dropped while their link was away`}.
      </p>
      {output.errors.length > 0 && (
        <ul class="wire-faults">
          {output.errors.map((fault) => (
            <li key={fault.code}>{faultWords(fault, now)}</li>
          ))}
        </ul>
      )}
    </li>
  );
}

/** The node gives the longest wait of every half second; the longest of what is remembered is shown. */
function Frames() {
  const list = samples.value;
  const report = list.at(-1)?.report;
  if (report === undefined) return null;
  const worst = Math.max(...list.map((sample) => sample.report.worstInterval));
  return (
    <p>
      {Math.round(report.rate)} frames a second are drawn. Longest wait between two of them in the last seconds: {Math.round(worst)}{' '}
      ms, {intervalWords(worst, report.rate)}.
    </p>
  );
}

export function ArtnetNodes() {
  const outputs = samples.value.at(-1)?.report.outputs.filter(({ protocol }) => protocol === 'artnet') ?? [];
  const nodes = outputs.flatMap((output) => output.nodes ?? []);
  return (
    <section class="wire-nodes" aria-labelledby="wire-nodes">
      <h2 id="wire-nodes">Art-Net nodes found</h2>
      {nodes.length > 0 && (
        <ul>
          {nodes.map((node) => (
            <Node key={`${node.address} ${node.bindIndex} ${node.outputs.join()}`} node={node} />
          ))}
        </ul>
      )}
      {nodes.length === 0 && outputs.length > 0 && (
        <p>
          None has answered yet; they are asked every few seconds. Is the box that turns the network into DMX switched on, plugged
          into this network and set to Art-Net?
        </p>
      )}
      {samples.value.length > 0 && outputs.length === 0 && <p class="quiet">This node sends no Art-Net, so nobody is asked.</p>}
    </section>
  );
}

function Node({ node }: { readonly node: NodeReport }) {
  halfSeconds.value;
  const { shortName, longName, address, report, refreshRate, lastSeenAt } = node;
  return (
    <li>
      <h3>{shortName || longName || address}</h3>
      <p>
        {address}, {takesWords(node)}
        {refreshRate > 0 && `, at most ${refreshRate} times a second`}.
      </p>
      <p class="quiet">
        {report === '' ? 'It reports nothing' : `It says: ${reportWords(report)}`}. Heard {ago(nodeNow() - lastSeenAt)}.
      </p>
    </li>
  );
}
