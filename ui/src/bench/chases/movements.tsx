import type { Show } from '../../../../node/show/document.ts';
import { writeStretch } from '../amounts.ts';
import type { PageProps } from '../page.ts';
import { abilitiesOf } from '../parts/abilities.ts';
import { add } from '../things/acts.ts';
import { ThingsPage } from '../things/things.tsx';
import { whoInWords } from '../written.ts';
import { figureNames } from './figure.tsx';
import { MovementSheet } from './movement.tsx';

/** All movements, or the one that is open. */
export function MovementsPage({ show, open }: PageProps) {
  const heads = headUses(show);
  return (
    <ThingsPage
      show={show}
      kind="movement"
      things={show.movements}
      one="movement"
      all="movements"
      empty="There is none yet. A movement lets heads draw a figure, around a place or around wherever they are aimed."
      after={({ figure, period, who }) => `${figureNames[figure]} in ${writeStretch(period)}, ${whoInWords(who, show)}`}
      onNew={() => void add(show, 'movement', 'New movement', { ...FIRST, who: heads.slice(0, 1).map((use) => ({ use })) })}
      open={open}
      sheet={(movement) => <MovementSheet movement={movement} show={show} />}
      above={heads.length === 0 && <p>No light of this show turns: a movement would do nothing.</p>}
    />
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
