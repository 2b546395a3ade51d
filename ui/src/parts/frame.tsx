import type { ComponentChildren } from 'preact';
import { tell } from '../presses.ts';
import { type Screen, screen } from '../route.ts';
import { isBlackout, isOpen, isSilent, may, notice, role, sentTo, state } from '../state.ts';
import { Announcements } from './announcements.tsx';
import { Blackout } from './blackout.tsx';

/** Names of the screens; what a narrow phone leaves out of one stands apart. */
const names: Readonly<Record<Screen, readonly [name: string, more?: string]>> = {
  tonight: ['Tonight'],
  bench: ['Bench'],
  wire: ['Wire'],
  papers: ['Papers'],
  node: ['Phones', ' and node'],
};

/** Whoever touches a screen is there: what was left to the node is not any more. */
function touched(): void {
  if (state.peek()?.left !== undefined && may('leave')) tell({ do: 'leave', minutes: 0 });
}

/** What all screens of a paired phone share: the way between them, and blackout in its corner. */
export function Frame({ children }: { readonly children: ComponentChildren }) {
  return (
    <div
      class="frame"
      data-dark={isBlackout.value}
      data-open={isOpen.value && !isSilent.value}
      data-sent={sentTo.value}
      data-screen={screen.value}
      onPointerDownCapture={touched}
    >
      <button
        type="button"
        class="skip"
        onClick={() => (document.querySelector<HTMLElement>('.control') ?? document.querySelector('main'))?.focus()}
      >
        To the {screen.value === 'tonight' ? 'buttons' : 'page'}
      </button>
      <main tabIndex={-1}>
        {screen.value !== 'tonight' && <Announcements />}
        {children}
      </main>
      {screen.value !== 'tonight' && notice.value !== undefined && (
        <p class="said" role="status">
          {notice.value}
        </p>
      )}
      {role.value === 'operator' && (
        <footer class="bar">
          <nav aria-label="Screens">
            {(Object.keys(names) as Screen[]).map((name) => (
              <a
                key={name}
                href={`#/${name}`}
                class={name === 'papers' ? 'roomy' : undefined}
                aria-current={screen.value === name ? 'page' : undefined}
              >
                <span>
                  {names[name][0]}
                  {names[name][1] !== undefined && <span class="more">{names[name][1]}</span>}
                </span>
              </a>
            ))}
          </nav>
          {may('blackout') && <Blackout />}
        </footer>
      )}
    </div>
  );
}
