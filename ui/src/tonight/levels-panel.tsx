import { Push } from '../parts/push.tsx';
import { tell } from '../presses.ts';
import { hello, isOpen } from '../state.ts';
import { Pull } from './pull.tsx';
import { HalveAndDouble, TapTempo } from './tempo.tsx';

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
        <Push disabled={!isOpen.value} onClick={() => tell({ do: 'release-all' })}>
          Let everything go
        </Push>
      </div>
    </section>
  );
}
