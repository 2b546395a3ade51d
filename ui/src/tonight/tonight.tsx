import { useMemo, useState } from 'preact/hooks';
import './tonight.css';
import './show-button.css';
import './reach.css';
import { DarkNotice, FallenNotice, LineNotice, Troubles, WarnedNotice } from '../parts/announcements.tsx';
import { Push } from '../parts/push.tsx';
import { useWakeLock } from '../parts/wake-lock.ts';
import { hello, may, state } from '../state.ts';
import { LevelsPanel } from './levels-panel.tsx';
import { MomentBar, MomentList } from './moment-bar.tsx';
import { MomentPages } from './moment-pages.tsx';
import { pagesOf } from './pages.ts';
import { Pull } from './pull.tsx';
import { rememberedPage, rememberPage } from './remembered-page.ts';
import { RoomPicture } from './room/picture.tsx';
import { StateLine } from './state-line.tsx';
import { TapTempo } from './tempo.tsx';
import { wide } from './wide.ts';

/** What do guests see now, what comes next, where do I press? */
export function Tonight() {
  useWakeLock();
  const show = hello.value?.show;
  if (show === undefined || state.value === undefined) return <p class="opening">The node is here; its show is coming…</p>;
  return (
    <div class="tonight" data-role={hello.value?.you.role}>
      <h1 class="spoken">Tonight: {show.name}</h1>
      <div class="seen">
        <div class="room-place">
          <RoomPicture />
          <DarkNotice />
        </div>
        <LineNotice />
        <StateLine />
        <Troubles {...(wide.value ? {} : { most: 1 })} />
        {wide.value && may('master') && <LevelsPanel full />}
      </div>
      {may('press') ? <Controls key={show.id} /> : <Looking />}
    </div>
  );
}

/** A viewer's half: what must be known, and nothing to press. */
const Looking = () => (
  <div class="control">
    <WarnedNotice />
    <FallenNotice />
  </div>
);

function Controls() {
  const show = hello.value?.show;
  const pages = useMemo(() => (show === undefined ? [] : pagesOf(show)), [show]);
  const [chosen, setChosen] = useState(rememberedPage(show?.id ?? ''));
  const [panel, setPanel] = useState<'buttons' | 'moments' | 'levels'>('buttons');
  const current = Math.max(
    0,
    pages.findIndex(({ id }) => id === chosen),
  );
  const turn = (to: number) => {
    const page = pages[to];
    if (page === undefined || show === undefined) return;
    setChosen(page.id);
    rememberPage(show.id, page.id);
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
