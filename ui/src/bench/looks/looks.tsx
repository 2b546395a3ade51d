import type { PageProps } from '../page.ts';
import { Strips } from '../parts/part-sheet.tsx';
import { add } from '../things/acts.ts';
import { ThingsPage } from '../things/things.tsx';
import { HEARD, HeardPage } from './heard.tsx';
import { LookSheet } from './look.tsx';
import { Taking } from './taking.tsx';

/** All looks, the one that is open, or what another controller sends. */
export function LooksPage({ show, open }: PageProps) {
  if (open === HEARD) return <HeardPage show={show} />;
  return (
    <ThingsPage
      show={show}
      kind="look"
      things={show.looks}
      one="look"
      all="looks"
      empty="There is none yet. A look is one still picture of the room: which lights, how bright, in which colours."
      before={({ parts }) => <Strips parts={parts} show={show} />}
      // Lit a little, so that it can be seen.
      onNew={() => void add(show, 'look', 'New look', { parts: [{ who: [{ all: true }], level: 0.5 }] })}
      open={open}
      sheet={(look) => <LookSheet look={look} show={show} />}
      below={<Taking show={show} />}
    />
  );
}
