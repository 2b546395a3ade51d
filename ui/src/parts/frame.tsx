import type { ComponentChildren } from 'preact';
import { tell } from '../presses.ts';
import { type Screen, screen } from '../route.ts';
import { isOpen, isSilent, may, notice, role, seen, state } from '../state.ts';
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
      data-dark={state.value?.blackout === true}
      data-open={isOpen.value && !isSilent.value}
      data-sent={seen.value?.sent}
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
      {notice.value !== undefined && screen.value !== 'tonight' && (
        <p class="said" role="status">
          {notice.value}
        </p>
      )}
      {role.value === 'operator' && (
        <footer class="bar">
          <nav aria-label="Screens">
            {(Object.keys(names) as Screen[]).map((name) => (
              <a key={name} href={`#/${name}`} aria-current={screen.value === name ? 'page' : undefined}>
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
