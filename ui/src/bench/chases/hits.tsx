import type { Part, Show } from '../../../../node/show/document.ts';
import { readSecondsWithin } from '../amounts.ts';
import { FlashCaution } from '../cautions.tsx';
import { waitsFor } from '../edits.ts';
import { Text } from '../inputs.tsx';
import type { PageProps } from '../page.ts';
import { Parts, Strips } from '../parts/part-sheet.tsx';
import { strobes } from '../parts/part-words.ts';
import { SeeIt } from '../see-it.tsx';
import { Sheet } from '../sheet.tsx';
import { add } from '../things/acts.ts';
import { Ending } from '../things/ending.tsx';
import { ThingsPage } from '../things/things.tsx';
import { TIME_HELP } from '../times.tsx';
import { readSeconds } from '../written.ts';

type Hit = Show['hits'][number];

/** All hits, or the one that is open. */
export const HitsPage = ({ show, open }: PageProps) => (
  <ThingsPage
    show={show}
    kind="hit"
    things={show.hits}
    one="hit"
    all="hits"
    empty="There is none yet. A hit lights up for as long as its button is held, and lets go with the finger."
    before={({ parts }) => <Strips parts={parts} show={show} />}
    after={({ longest, parts }) => `${longest} s at most${parts.some(strobes) ? ', flashes' : ''}`}
    onNew={() => void add(show, 'hit', 'New hit', { parts: [{ who: [{ all: true }], level: 1 }], fadeOut: 0.5, longest: 4 })}
    open={open}
    sheet={(hit) => <HitSheet hit={hit} show={show} />}
  />
);

/** One hit, open to be changed. */
function HitSheet({ hit, show }: { readonly hit: Hit; readonly show: Show }) {
  const field = { kind: 'hit', id: hit.id } as const;
  const parts = (waitsFor({ ...field, field: 'parts' })?.now ?? hit.parts) as readonly Part[];
  return (
    <Sheet name={hit.name} act={<SeeIt show={show} of={{ hit: hit.id }} name={hit.name} alone={false} />}>
      <div class="bench-row">
        <Text {...field} field="name" label="Name" value={hit.name} />
        <Text
          {...field}
          field="longest"
          label="Lets go by itself after"
          value={`${hit.longest} s`}
          read={(text) => readSecondsWithin(text, 0.1, 30)}
          help="A time such as 2 or 0.5 s, 30 s at most."
        />
        <Text {...field} field="fade" label="Comes in over" value={`${hit.fade} s`} read={readSeconds} help={TIME_HELP} />
        <Text
          {...field}
          field="fadeOut"
          label="Goes over"
          value={hit.fadeOut === undefined ? '' : `${hit.fadeOut} s`}
          read={readSeconds}
          help={TIME_HELP}
          isOptional
          hint="Empty: as it comes in."
        />
      </div>
      {parts.some(strobes) && <FlashCaution />}
      <Parts place={field} parts={parts} show={show} />
      <Ending show={show} kind="hit" thing={hit} />
    </Sheet>
  );
}
