import { useMemo, useState } from 'preact/hooks';
import { FallenNotice, WarnedNotice } from '../parts/announcements.tsx';
import { media } from '../parts/media.ts';
import { Push } from '../parts/push.tsx';
import { tell } from '../presses.ts';
import { recall, remember } from '../remembered.ts';
import { hello, isOpen, may } from '../state.ts';
import { MomentBar, MomentList } from './moment-bar.tsx';
import { MomentPages } from './moment-pages.tsx';
import { pagesOf } from './pages.ts';
import { Pull } from './pull.tsx';
import { HalveAndDouble, TapTempo } from './tempo.tsx';

/** A laptop, or a tablet or phone on its side: picture and controls next to each other. */
export const wide = media('(min-width: 900px), (min-width: 640px) and (max-height: 500px)');

/** Which page of a show this phone was on last: a thumb finds its place again after the phone slept. */
const pageKey = (show: string): string => `page-${show}`;

/** What is pressed: the buttons of a moment, the other moments, masters and tempo. */
export function Controls() {
  const show = hello.value?.show;
  const pages = useMemo(() => (show === undefined ? [] : pagesOf(show)), [show]);
  const [chosen, setChosen] = useState(recall(pageKey(show?.id ?? '')));
  const [panel, setPanel] = useState<'buttons' | 'moments' | 'levels'>('buttons');
  const current = Math.max(
    0,
    pages.findIndex(({ id }) => id === chosen),
  );
  const turn = (to: number) => {
    const page = pages[to];
    if (page === undefined || show === undefined) return;
    setChosen(page.id);
    remember(pageKey(show.id), page.id);
    setPanel('buttons');
  };
  if (pages.length === 0)
    return (
      <div class="control">
        <p class="empty">This show has no buttons yet. Import one that has: “duskhand import FILE” on the node’s machine.</p>
      </div>
    );
  return (
    <div class="control">
      {wide.value && <MomentList pages={pages} current={current} onChoose={turn} />}
      <WarnedNotice />
      <FallenNotice />
      {panel === 'moments' && !wide.value ? (
        <MomentList pages={pages} current={current} onChoose={turn} />
      ) : panel === 'levels' && !wide.value ? (
        <LevelsPanel full={false} />
      ) : (
        <MomentPages pages={pages} current={current} onTurn={turn} />
      )}
      {!wide.value && panel !== 'levels' && (
        <MomentBar pages={pages} current={current} onChoose={turn} onOpen={() => setPanel(other(panel, 'moments'))} />
      )}
      {!wide.value && may('master') && (
        <div class="tools">
          <Pull name="All lights" />
          <TapTempo />
          <Push pressed={panel === 'levels'} onClick={() => setPanel(other(panel, 'levels'))}>
            {panel === 'levels' ? 'Close' : 'Levels'}
          </Push>
        </div>
      )}
    </div>
  );
}

/** A second touch on what opened a panel closes it. */
const other = <Panel extends string>(shown: Panel | 'buttons', asked: Panel): Panel | 'buttons' =>
  shown === asked ? 'buttons' : asked;

/** Masters of all and of the groups, tempo, and letting everything go. `full` repeats what a phone has outside the panel. */
export function LevelsPanel({ full }: { readonly full: boolean }) {
  const groups = hello.value?.show.groups ?? [];
  return (
    <section class="levels" aria-label="Levels and tempo">
      {full && <Pull name="All lights" />}
      <div class="groups">
        {groups.map(({ id, name }) => (
          <Pull key={id} name={name} group={id} />
        ))}
      </div>
      <div class="tempo">
        {full && <TapTempo />}
        <HalveAndDouble />
        <Push disabled={!isOpen.value} onClick={() => tell({ do: 'all-off' })}>
          All off, softly
        </Push>
      </div>
    </section>
  );
}
