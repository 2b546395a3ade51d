import { useComputed } from '@preact/signals';
import { useState } from 'preact/hooks';
import { type Address, written } from '../parts/address.ts';
import { hand } from './held.ts';
import { picked } from './page.ts';
import { boxOf, LINE, type Placed, type Ribbon, slotAt } from './ribbon.ts';

/** The fixtures' names: what is pressed, and what those hear who cannot see the picture. One tab stop; arrows go from light to light. */
export function Words({ universe, ribbon }: { readonly universe: number; readonly ribbon: Ribbon }) {
  const words = ribbon.placed.filter((piece) => piece.kind === 'fixture');
  const chosen = useComputed(() => picked.value?.fixture).value;
  const [stop, setStop] = useState<string>();
  const places = words.map(placeOf);
  const chosenPlace = words.filter(({ fixture }) => fixture.id === chosen).map(placeOf)[0];
  const tabStop = [stop, chosenPlace].find((place) => place !== undefined && places.includes(place)) ?? places[0];
  const go = (event: KeyboardEvent): void => {
    const list = event.currentTarget as HTMLElement;
    const options = [...list.querySelectorAll<HTMLElement>('[role=option]')];
    const at = options.indexOf(document.activeElement as HTMLElement);
    const to = goes[event.key]?.(at, options.length - 1);
    if (to === undefined) return;
    event.preventDefault();
    options[to]?.focus();
  };
  return (
    <div role="listbox" aria-label={`Lights on universe ${universe}`} onKeyDown={go}>
      {words.map((piece) => (
        <Word
          key={placeOf(piece)}
          piece={piece}
          chosen={piece.fixture.id === chosen}
          stop={placeOf(piece) === tabStop}
          onFocus={() => setStop(placeOf(piece))}
        />
      ))}
    </div>
  );
}

/** A fixture may stand at several places of a universe. */
const placeOf = ({ fixture, first }: Extract<Placed, { kind: 'fixture' }>): string => `${fixture.id} ${first}`;

const goes: Readonly<Record<string, (at: number, last: number) => number>> = {
  ArrowRight: (at, last) => Math.min(last, at + 1),
  ArrowDown: (at, last) => Math.min(last, at + 1),
  ArrowLeft: (at) => Math.max(0, at - 1),
  ArrowUp: (at) => Math.max(0, at - 1),
  Home: () => 0,
  End: (_, last) => last,
};

interface WordProps {
  readonly piece: Extract<Placed, { kind: 'fixture' }>;
  readonly chosen: boolean;
  readonly stop: boolean;
  readonly onFocus: () => void;
}

function Word({ piece, chosen, stop, onFocus }: WordProps) {
  const { fixture, first, last } = piece;
  const { universe } = fixture;
  const held = useComputed(() => {
    const { slots, identify } = hand.value;
    return (
      identify === fixture.id ||
      [...slots.values()].some((one) => one.universe === universe && one.slot >= first && one.slot <= last)
    );
  }).value;
  const pick = (event: MouseEvent): void => {
    // A press by keyboard has no place; one on the name means the whole fixture.
    const onStrip = event.detail > 0 && event.offsetY > LINE / 3;
    const slot: Address | undefined = onStrip ? { universe, slot: slotAt(piece, event.offsetX) } : undefined;
    picked.value = { fixture: fixture.id, slot };
    // What is told of it must not lie over it.
    const word = event.currentTarget as HTMLElement;
    requestAnimationFrame(() => word.scrollIntoView({ block: 'nearest' }));
  };
  const said = `${fixture.name}, ${fixture.use}, ${written({ universe, slot: first })}${held ? ', by hand' : ''}`;
  return (
    <button
      type="button"
      role="option"
      aria-selected={chosen}
      aria-label={said}
      tabIndex={stop ? 0 : -1}
      class={held ? 'wire-word held' : 'wire-word'}
      style={boxOf(piece)}
      onClick={pick}
      onFocus={onFocus}
    >
      <span>{fixture.name}</span>
    </button>
  );
}
