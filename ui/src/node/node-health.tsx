import { useEffect } from 'preact/hooks';
import type { OutputReport } from '../../../node/core/report.ts';
import { connection } from '../connection.ts';
import { hello, isOpen, link, wireReport } from '../state.ts';

/** Levels are not looked at here, so the fewest that still bring reports. Frames a second. */
const RATE = 1;
/** A frame this much later than it should be is seen by an eye that looks for it. Milliseconds. */
const LATE = 20;

const protocols = { sacn: 'sACN', artnet: 'Art-Net' } as const;

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

function Output({ output: { protocol, state, towards, universes, errors, dropped } }: { readonly output: OutputReport }) {
  const newest = errors.reduce<OutputReport['errors'][number] | undefined>(
    (a, b) => (a === undefined || b.lastAt > a.lastAt ? b : a),
    undefined,
  );
  const count = `${universes.length} ${universes.length === 1 ? 'universe' : 'universes'}`;
  return (
    <>
      <dt>
        {protocols[protocol]}, {towards}
      </dt>
      <dd>
        {state === 'sending' && `Sending ${count}`}
        {state === 'waiting' &&
          `Waiting: ${protocol === 'artnet' ? 'no Art-Net node has answered' : 'no cable or network to send by'}`}
        {state === 'failing' && `Failing${newest === undefined ? '' : `: the system says ${newest.code}`}`}
        {dropped > 0 && `, ${dropped} packets lost to a pulled cable`}
      </dd>
    </>
  );
}
