import { effect, signal } from '@preact/signals';
import type { ComponentChildren, FunctionComponent } from 'preact';
import { useErrorBoundary } from 'preact/hooks';
import { PhonesAndNode } from './node/node.tsx';
import { Pairing } from './pairing/pairing.tsx';
import { Frame } from './parts/frame.tsx';
import { Push } from './parts/push.tsx';
import { type Screen, screen } from './route.ts';
import { me, role } from './state.ts';
import { Tonight } from './tonight/tonight.tsx';

/** These pages come over the network when they are first opened: nobody waits for them on the way to Tonight. */
const later: Readonly<Partial<Record<Screen, () => Promise<FunctionComponent>>>> = {
  bench: async () => (await import('./bench/bench.tsx')).Bench,
  wire: async () => (await import('./wire/wire.tsx')).Wire,
  papers: async () => (await import('./papers/papers.tsx')).Papers,
};
const here = signal<Readonly<Partial<Record<Screen, FunctionComponent>>>>({ tonight: Tonight, node: PhonesAndNode });
/** The page that could not be had. */
const missing = signal<Screen | undefined>(undefined);

effect(() => {
  const name = screen.value;
  missing.value = undefined;
  if (here.peek()[name] !== undefined) return;
  later[name]?.().then(
    (component) => {
      here.value = { ...here.peek(), [name]: component };
    },
    () => {
      missing.value = name;
    },
  );
});

function Current({ name }: { readonly name: Screen }) {
  const Page = here.value[name];
  if (Page !== undefined) return <Page />;
  return missing.value === name ? <Broken what="This page did not come over the network." /> : <p class="quiet">One moment…</p>;
}

/** What fails to be drawn is said in its place, and the rest of the page goes on: nobody is left with a blank screen. */
function Sheltered({ children }: { readonly children: ComponentChildren }) {
  const [error] = useErrorBoundary((fault) => reportError(fault));
  return error === undefined ? children : <Broken what="This page has met something that it does not understand." />;
}

const Broken = ({ what }: { readonly what: string }) => (
  <div class="broken" role="alert">
    <p>{what} The lights go on.</p>
    <Push kind="main" onClick={() => location.reload()}>
      Load it anew
    </Push>
  </div>
);

function Paired() {
  const name = role.value === 'operator' ? screen.value : 'tonight';
  return (
    <Frame>
      <Sheltered key={name}>
        <Current name={name} />
      </Sheltered>
    </Frame>
  );
}

export function App() {
  if (me.value === undefined) return <p class="opening">Looking for the node…</p>;
  return <Sheltered key={me.value.remote?.id}>{me.value.remote === null ? <Pairing /> : <Paired />}</Sheltered>;
}
