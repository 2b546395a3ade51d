import type { Show } from '../../../../node/show/document.ts';
import { writeStretch } from '../amounts.ts';
import type { PageProps } from '../page.ts';
import { abilitiesOf } from '../parts/abilities.ts';
import { add, Things } from '../things.tsx';
import { whoInWords } from '../written.ts';
import { figureNames } from './figure.tsx';
import { MovementSheet } from './movement.tsx';

/** All movements, or the one that is open. */
export function MovementsPage({ show, open }: PageProps) {
  const movement = show.movements.find(({ id }) => id === open);
  return movement === undefined ? <Movements show={show} /> : <MovementSheet key={movement.id} movement={movement} show={show} />;
}

function Movements({ show }: { readonly show: Show }) {
  const heads = headUses(show);
  return (
    <section aria-labelledby="bench-movements">
      <h1 id="bench-movements" class="bench-title">
        Movements
      </h1>
      {heads.length === 0 && <p>No light of this show turns: a movement would do nothing.</p>}
      <Things
        show={show}
        kind="movement"
        things={show.movements}
        one="movement"
        all="movements"
        empty="There is none yet. A movement lets heads draw a figure, around a place or around wherever they are aimed."
        after={({ figure, period, who }) => `${figureNames[figure]} in ${writeStretch(period)}, ${whoInWords(who, show)}`}
        onNew={() => void add(show, 'movement', 'New movement', { ...FIRST, who: heads.slice(0, 1).map((use) => ({ use })) })}
      />
    </section>
  );
}

/** Uses of which lights turn. */
const headUses = (show: Show): Show['fixtures'][number]['use'][] =>
  [...new Set(show.fixtures.map(({ use }) => use))].filter((use) => {
    const can = abilitiesOf([{ use }], show);
    return can.has('Pan') && can.has('Tilt');
  });

/** A new movement is small and slow, around wherever its heads are aimed. */
const FIRST = { figure: 'circle', size: { pan: 20, tilt: 12 }, period: { beats: 16 }, spread: 0.5 };
