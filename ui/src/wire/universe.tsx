import { useComputed } from '@preact/signals';
import type { FixtureSummary } from '../../../node/api/contract.ts';
import { SLOTS } from '../../../node/core/levels.ts';
import { counted } from '../../../node/core/words.ts';
import { byAddress, givesLight, holds, written } from '../parts/address.ts';
import { colourNames, picture } from '../state.ts';
import { hand } from './held.ts';
import { picked, places } from './page.ts';
import { sendingWords } from './rates.ts';
import { levels, pulse, samples } from './watching.ts';

interface UniverseProps {
  readonly universe: number;
  readonly fixtures: readonly FixtureSummary[];
}

/** One universe: its name, how it fares, and its lights, each in the colour that is sent to it, with a word for that. */
export function Universe({ universe, fixtures }: UniverseProps) {
  const used = fixtures.reduce((sum, { channels }) => sum + channels.length, 0);
  return (
    <section class="wire-universe" aria-labelledby={`universe-${universe}`}>
      <header>
        <h2 id={`universe-${universe}`}>Universe {universe}</h2>
        <p class="quiet">
          {counted(fixtures.length, 'light')}, {used} of {SLOTS} slots. <Rate universe={universe} />
        </p>
      </header>
      <ul class="wire-lights">
        {[...fixtures].sort(byAddress).map((fixture) => (
          <Light key={fixture.id} fixture={fixture} />
        ))}
      </ul>
    </section>
  );
}

function Light({ fixture }: { readonly fixture: FixtureSummary }) {
  const { id, name, universe, address } = fixture;
  const colour = useComputed(() => picture.value[places.value.get(id) ?? -1] ?? 0);
  const face = useComputed(() => `background: #${colour.value.toString(16).padStart(6, '0')}`);
  const chosen = useComputed(() => picked.value?.fixture === id).value;
  const held = useComputed(
    () => hand.value.identify === id || [...hand.value.slots.values()].some((one) => holds(fixture, one)),
  ).value;
  const word = useComputed(() => (givesLight(fixture) ? lightWord(colour.value) : slotsWord(fixture))).value;
  return (
    <li>
      <button
        type="button"
        class="wire-light"
        data-fixture={id}
        aria-pressed={chosen}
        onClick={() => (picked.value = { fixture: id, slot: undefined })}
      >
        <span class="lamp" style={face} aria-hidden="true" />
        <span class="name">{name}</span>
        <span class="quiet">
          {word}
          {held && <strong>, by hand</strong>} <span class="at">{written({ universe, slot: address })}</span>
        </span>
      </button>
    </li>
  );
}

const lightWord = (colour: number): string => (colour === 0 ? 'dark' : colourNames.value.nameOf(colour));

/** What gives no light of its own: whether anything is asked of it. */
function slotsWord({ universe, channels }: FixtureSummary): string {
  pulse.value;
  return channels.some(({ slot }) => (levels.at(universe, slot) ?? 0) > 0) ? 'running' : 'at rest';
}

/** How many packets a second leave for a universe. Drawn anew only when the words change. */
function Rate({ universe }: { readonly universe: number }) {
  return <span>{useComputed(() => sendingWords(samples.value, universe))}</span>;
}
