import { signal } from '@preact/signals';
import { Fragment } from 'preact';
import './papers.css';
import type { ShowSummary } from '../../../node/api/contract.ts';
import { counted } from '../../../node/core/words.ts';
import { byAddress, standings, written } from '../parts/address.ts';
import { Push } from '../parts/push.tsx';
import { as, SpokenAddress } from '../parts/spoken.tsx';
import { hello } from '../state.ts';
import { Dip } from './dip.tsx';
import { Sheet } from './sheet.tsx';
import { Types } from './types.tsx';

type Paper = 'sheet' | 'labels' | 'types';

/** What lies on the table, and so what the printer gets. */
const paper = signal<Paper>('sheet');

/** What do I take along, set up, hand over? */
export function Papers() {
  const show = hello.value?.show;
  if (show === undefined) return <p class="opening">Waiting for the show…</p>;
  const universes = new Set(show.fixtures.flatMap(standings).map(({ universe }) => universe)).size;
  return (
    <div class="papers">
      <header>
        <h1>Papers</h1>
        <p class="papers-show">
          {show.name}
          {show.demo && ' (demo, invented)'}: {counted(show.fixtures.length, 'light')} on {counted(universes, 'universe')}
        </p>
        <div class="papers-choice">
          <Push pressed={paper.value === 'sheet'} onClick={() => choose('sheet')}>
            Patch sheet
          </Push>
          <Push pressed={paper.value === 'labels'} onClick={() => choose('labels')}>
            Labels
          </Push>
          <Push pressed={paper.value === 'types'} onClick={() => choose('types')}>
            Types
          </Push>
          <Push kind="main" onClick={() => print()}>
            Print
          </Push>
        </div>
      </header>
      {papers[paper.value]({ show })}
      <footer>Show lighting only. The makers’ manuals, the venue, local codes and licensed people come first.</footer>
    </div>
  );
}

function choose(which: Paper): void {
  paper.value = which;
}

/** One label a lamp, to cut out and tape on. */
const Labels = ({ show }: { readonly show: ShowSummary }) => (
  <ul class="labels" {...as.list} aria-label="Labels, one for each light">
    {[...show.fixtures].sort(byAddress).map((fixture) => (
      <li key={fixture.id}>
        <strong>{fixture.name}</strong>
        {standings(fixture).map(({ universe, address }) => (
          <Fragment key={written({ universe, slot: address })}>
            <span class="papers-address">
              <SpokenAddress universe={universe} slot={address} />
            </span>
            <Dip address={address} />
          </Fragment>
        ))}
      </li>
    ))}
  </ul>
);

const papers = { sheet: Sheet, labels: Labels, types: Types };
