import { Push } from '../parts/push.tsx';
import { hazeAsked, tell } from '../presses.ts';
import { isOpen } from '../state.ts';

/** Asked once a night, before the first haze: who says yes says it for this night. */
export function HazeQuestion() {
  const start = hazeAsked.value;
  if (start === undefined) return null;
  const leave = () => {
    hazeAsked.value = undefined;
  };
  return (
    <section
      class="trouble urgent"
      role="alertdialog"
      aria-label="Is haze allowed here?"
      onKeyDown={({ key }) => key === 'Escape' && leave()}
    >
      <p>
        <strong>The first haze tonight.</strong> It can set off smoke detectors, and it troubles some lungs. Has the venue said yes,
        and dealt with its detectors itself?
      </p>
      <div class="pair">
        <Push onClick={leave}>No haze</Push>
        <Push
          kind="main"
          disabled={!isOpen.value}
          onClick={() => {
            leave();
            tell({ do: 'allow-haze', on: true });
            start();
          }}
        >
          The venue permits it
        </Push>
      </div>
    </section>
  );
}
