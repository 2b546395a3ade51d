import { useEffect } from 'preact/hooks';
import './wire.css';
import { Push } from '../parts/push.tsx';
import { nodeNow, seen } from '../state.ts';
import { Detail } from './detail.tsx';
import { HandNotice } from './hand-bar.tsx';
import { answer } from './health.ts';
import { StateMark } from './mark.tsx';
import { ArtnetNodes, Outputs } from './outputs.tsx';
import { fixtures, laptop, picked, walk } from './page.ts';
import { Rig } from './rig.tsx';
import { Sources } from './sources.tsx';
import { Tools } from './tools.tsx';
import { WalkThrough } from './walk-through.tsx';
import { samples, watch } from './watching.ts';

/** Does every light get what it should, and who else is talking? */
export function Wire() {
  useEffect(() => {
    const end = watch();
    return () => {
      walk.value = undefined;
      end();
    };
  }, []);
  return laptop.value ? <OnLaptop /> : <OnPhone />;
}

/** The room to see everything at once: universes left, what was picked and the ways out right. */
function OnLaptop() {
  const detail = picked.value;
  return (
    <div class="wire laptop">
      <div class="wire-left">
        <Head />
        <Tools />
        <Rig />
      </div>
      <aside>
        <HandNotice />
        {walk.value !== undefined && <WalkThrough of={walk.value} />}
        {walk.value === undefined && detail !== undefined && <Detail of={detail} />}
        {walk.value === undefined && detail === undefined && (
          <p class="wire-hint quiet">Choose a light to read its slots in words.</p>
        )}
        <Ways />
      </aside>
    </div>
  );
}

/** Thumb first: what is pressed lies at the foot. */
function OnPhone() {
  const detail = picked.value;
  return (
    <div class="wire phone">
      <Head />
      <Rig />
      <Ways />
      {walk.value !== undefined && <WalkThrough of={walk.value} />}
      {walk.value === undefined && (
        <div class="wire-dock">
          {detail !== undefined && <Detail of={detail} />}
          <HandNotice />
          <Tools />
        </div>
      )}
    </div>
  );
}

function Head() {
  const report = samples.value.at(-1)?.report;
  const said = report === undefined ? undefined : answer(report, fixtures.value, nodeNow(), seen.value);
  return (
    <header class="wire-head">
      <h1>Wire</h1>
      {said === undefined ? (
        <p class="quiet">Listening to the wire…</p>
      ) : (
        <p class="wire-answer" role="status">
          <StateMark state={said.state} /> <span>{said.words}</span>
        </p>
      )}
      {!laptop.value && report !== undefined && report.sources.length > 0 && (
        <Push onClick={() => document.getElementById('wire-sources')?.scrollIntoView({ block: 'center' })}>See who</Push>
      )}
    </header>
  );
}

const Ways = () => (
  <div class="wire-ways">
    <Sources />
    <Outputs />
    <ArtnetNodes />
  </div>
);
