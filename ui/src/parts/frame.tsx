import type { ComponentChildren } from 'preact';
import { type Screen, screen } from '../route.ts';
import { isOpen, may, notice, role, state } from '../state.ts';
import { Announcements } from './announcements.tsx';
import { Blackout } from './blackout.tsx';

/** Names of the screens; what a narrow phone leaves out of one stands apart. */
const names: Readonly<Record<Screen, readonly [name: string, more?: string]>> = {
  tonight: ['Tonight'],
  wire: ['Wire'],
  papers: ['Papers'],
  node: ['Phones', ' and node'],
};

/** What all screens of a paired phone share: the way between them, and blackout in its corner. */
export function Frame({ children }: { readonly children: ComponentChildren }) {
  return (
    <div class="frame" data-dark={state.value?.blackout === true} data-open={isOpen.value} data-screen={screen.value}>
      <main>
        {screen.value !== 'tonight' && <Announcements />}
        {children}
      </main>
      {notice.value !== undefined && (
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
