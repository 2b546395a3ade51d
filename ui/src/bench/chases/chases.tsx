import { counted } from '../../../../node/core/words.ts';
import type { Chase } from '../../../../node/show/document.ts';
import { writeStretch } from '../amounts.ts';
import type { PageProps } from '../page.ts';
import { coloursOf } from '../parts/part-words.ts';
import { add } from '../things/acts.ts';
import { ThingsPage } from '../things/things.tsx';
import { cssOf } from '../written.ts';
import { ChaseSheet } from './chase.tsx';
import { isInBeats } from './steps.ts';

/** All chases, or the one that is open. */
export const ChasesPage = ({ show, open }: PageProps) => (
  <ThingsPage
    show={show}
    kind="chase"
    things={show.chases}
    one="chase"
    all="chases"
    empty="There is none yet. A chase goes round through its steps, each a picture of some lights, by the beat or by the clock."
    before={({ steps }) => (
      <span class="bench-strip" aria-hidden="true">
        {steps.map(({ parts }, i) => {
          const [colour] = parts.flatMap(coloursOf);
          return <i key={i} style={{ background: (colour && cssOf(colour, show.theme.colours)) || 'none' }} />;
        })}
      </span>
    )}
    after={stepsInWords}
    onNew={() => void add(show, 'chase', 'New chase', { steps: FIRST })}
    open={open}
    sheet={(chase) => <ChaseSheet chase={chase} show={show} />}
  />
);

function stepsInWords({ steps }: Chase): string {
  const [first] = steps;
  if (first === undefined) return 'no steps yet';
  const same = isInBeats(steps) && steps.every(({ length }) => writeStretch(length) === writeStretch(first.length));
  return `${counted(steps.length, 'step')}${same ? ` of ${writeStretch(first.length)}` : ''}`;
}

/** A new chase breathes slowly: it is seen at once, and startles nobody. */
const FIRST = [0.6, 0.3].map((level) => ({ length: { beats: 4 }, fade: 1, parts: [{ who: [{ all: true }], level }] }));
