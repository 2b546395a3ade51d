import { effect, type Signal, signal } from '@preact/signals';
import type { FunctionComponent } from 'preact';
import { PhonesAndNode } from './node/node.tsx';
import { Pairing } from './pairing/pairing.tsx';
import { Frame } from './parts/frame.tsx';
import { type Screen, screen } from './route.ts';
import { me, role } from './state.ts';
import { Tonight } from './tonight/tonight.tsx';

/** These pages come over the network when they are first opened: nobody waits for them on the way to Tonight. */
const wire: Signal<FunctionComponent | undefined> = signal(undefined);
const papers: Signal<FunctionComponent | undefined> = signal(undefined);
effect(() => {
  if (screen.value === 'wire' && wire.peek() === undefined)
    void import('./wire/wire.tsx').then(({ Wire }) => {
      wire.value = Wire;
    });
  if (screen.value === 'papers' && papers.peek() === undefined)
    void import('./papers/papers.tsx').then(({ Papers }) => {
      papers.value = Papers;
    });
});

function Current({ name }: { readonly name: Screen }) {
  if (name === 'node') return <PhonesAndNode />;
  if (name === 'wire') return wire.value === undefined ? <p class="quiet">One moment…</p> : <wire.value />;
  if (name === 'papers') return papers.value === undefined ? <p class="quiet">One moment…</p> : <papers.value />;
  return <Tonight />;
}

export function App() {
  if (me.value === undefined) return <p class="opening">Looking for the node…</p>;
  if (me.value.remote === null) return <Pairing />;
  return (
    <Frame>
      <Current name={role.value === 'operator' ? screen.value : 'tonight'} />
    </Frame>
  );
}
