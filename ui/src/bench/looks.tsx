import { signal } from '@preact/signals';
import type { Show } from '../../../node/show/document.ts';
import { Push } from '../parts/push.tsx';
import { as } from '../parts/spoken.tsx';
import { addressOf } from '../route.ts';
import { LookSheet, newLook } from './look.tsx';
import type { PageProps } from './page.ts';
import { cssOf } from './written.ts';

const sought = signal('');

/** All looks, or the one that is open. */
export function LooksPage({ show, open }: PageProps) {
  const look = show.looks.find(({ id }) => id === open);
  return look === undefined ? <Looks show={show} /> : <LookSheet look={look} show={show} />;
}

/** All looks, by what they are called. */
function Looks({ show }: { readonly show: Show }) {
  const { colours } = show.theme;
  const found = show.looks.filter(({ name }) => name.toLowerCase().includes(sought.value.trim().toLowerCase()));
  return (
    <section aria-labelledby="bench-looks">
      <h1 id="bench-looks" class="bench-title">
        Looks
      </h1>
      {show.looks.length > 8 && (
        <search>
          <input
            type="search"
            aria-label="Find a look"
            placeholder="Find a look"
            value={sought.value}
            onInput={({ currentTarget }) => (sought.value = currentTarget.value)}
          />
        </search>
      )}
      {show.looks.length === 0 && (
        <p>There is none yet. A look is one still picture of the room: which lights, how bright, in which colours.</p>
      )}
      <ul {...as.list} class="bench-looks">
        {found.map((look) => (
          <li key={look.id}>
            <a href={addressOf('bench', 'looks', look.id)}>
              <span class="bench-strip" aria-hidden="true">
                {look.parts.flatMap(({ colour }, i) =>
                  [colour ?? []]
                    .flat()
                    .map((value) => <i key={`${i} ${value}`} style={{ background: cssOf(value, colours) ?? 'none' }} />),
                )}
              </span>
              <strong>{look.name}</strong>
            </a>
          </li>
        ))}
      </ul>
      <Push onClick={() => void newLook(show)}>Make a new look</Push>
    </section>
  );
}
