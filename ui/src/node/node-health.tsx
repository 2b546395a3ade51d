import { useEffect } from 'preact/hooks';
import type { OutputReport } from '../../../node/core/report.ts';
import { counted, protocolNames } from '../../../node/core/words.ts';
import { connection } from '../connection.ts';
import { healthOf } from '../parts/output-health.ts';
import { hello, isOpen, link, wireReport } from '../state.ts';

/** Levels are not looked at here, so the fewest that still bring reports. Frames a second. */
const RATE = 1;
/** A frame this much later than it should be is seen by an eye that looks for it. Milliseconds. */
const LATE = 20;

/** Is the node well, and what is plugged in? */
export function NodeHealth() {
  useEffect(() => {
    connection.watchWire(RATE);
    return () => connection.watchWire(0);
  }, []);
  const report = wireReport.value;
  const { trip } = link.value;
  return (
    <section>
      <h2>The node{hello.value === undefined ? '' : ` “${hello.value.node.name}”`}</h2>
      {report === undefined ? (
        <p class="quiet">{isOpen.value ? 'Asking it how it is…' : 'It cannot be reached just now.'}</p>
      ) : (
        <dl class="facts">
          <dt>Pictures to the lights</dt>
          <dd>{report.rate} a second</dd>
          <dt>Longest wait between two</dt>
          <dd>
            {Math.round(report.worstInterval)} ms
            {report.worstInterval > 1000 / report.rate + LATE && ', longer than it should be'}
          </dd>
          <dt>From this phone and back</dt>
          <dd>{trip === undefined ? '–' : `${Math.max(1, Math.round(trip))} ms`}</dd>
          {report.outputs.map((output) => (
            <Output key={output.id} output={output} />
          ))}
        </dl>
      )}
    </section>
  );
}

function Output({ output }: { readonly output: OutputReport }) {
  const { protocol, towards, universes, dropped } = output;
  return (
    <>
      <dt>
        {protocolNames[protocol]}, {towards}
      </dt>
      <dd>
        {healthOf(output).words} {counted(universes.length, 'universe')}
        {dropped > 0 && `, ${dropped} packets lost to a pulled cable`}.
      </dd>
    </>
  );
}
