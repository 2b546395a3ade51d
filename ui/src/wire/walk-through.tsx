import { useEffect, useRef } from 'preact/hooks';
import { counted } from '../../../node/core/words.ts';
import { addressesOf, givesLight } from '../parts/address.ts';
import { Push } from '../parts/push.tsx';
import { useScreenOn } from '../parts/screen-on.ts';
import { Room } from '../room/room.tsx';
import { colourNames, picture } from '../state.ts';
import { light } from './hand.ts';
import { Above } from './hand-bar.tsx';
import { end, ended, hand, put } from './held.ts';
import { byId, fixtures, nameOf, picked, places, walk } from './page.ts';
import { answered, back, current, isOver, jump, type Walk, walkThrough } from './walk.ts';

/** Begins at the first fixture, which lights up at once. */
export function setOut(): void {
  go(walkThrough(fixtures.peek()));
}

function go(to: Walk): void {
  walk.value = to;
  const here = current(to);
  if (here === undefined) end();
  else put(light(hand.peek(), here));
}

function stop(): void {
  walk.value = undefined;
  put(light(hand.peek(), undefined));
}

/** Goes from light to light, phone in hand at the back of the rack. */
export function WalkThrough({ of }: { readonly of: Walk }) {
  const place = useRef<HTMLElement>(null);
  const over = isOver(of);
  // A phone that locks itself ends the walk.
  useScreenOn(!over);
  useEffect(() => place.current?.querySelector<HTMLElement>('.wire-next')?.focus(), [over]);
  const leave = (event: KeyboardEvent): void => {
    if (event.key === 'Escape') stop();
  };
  return (
    <section ref={place} class="wire-walk" aria-label="Walk through the lights" onKeyDown={leave}>
      {over ? <Wrapped of={of} /> : <Standing of={of} />}
    </section>
  );
}

function Standing({ of }: { readonly of: Walk }) {
  const id = current(of) ?? '';
  const fixture = byId.value.get(id);
  const lit = hand.value.identify === id;
  const last = of.at === of.order.length - 1;
  const unseen = of.unseen.includes(id);
  const colour = picture.value[places.value.get(id) ?? -1] ?? 0;
  return (
    <>
      <header>
        <p class="quiet">
          {of.at + 1} of {of.order.length}
        </p>
        <Push onClick={stop}>Stop</Push>
      </header>
      <div class="wire-walk-room">
        <Room
          onLamp={(place) => {
            const there = fixtures.peek()[place];
            if (there !== undefined) go(jump(of, there.id));
          }}
        />
      </div>
      <div class="wire-walk-light" aria-live="polite">
        {fixture === undefined ? (
          <h2>No longer in the show</h2>
        ) : (
          <>
            <p class="quiet">{fixture.use}</p>
            <h2>{fixture.name}</h2>
            <p class="wire-address">{addressesOf(fixture)}</p>
            <p class="quiet">universe, then start address</p>
            <p>{whatToSee(lit, colour, givesLight(fixture))}</p>
            {unseen && <p class="quiet">On the list: not seen before.</p>}
          </>
        )}
        <p>
          <Above {...(fixture === undefined ? {} : { use: fixture.use })} />
        </p>
      </div>
      <div class="wire-walk-acts">
        {!lit && <Push onClick={() => go(of)}>Light it up again</Push>}
        <div>
          <Push disabled={of.at === 0} onClick={() => go(back(of))}>
            Back
          </Push>
          <Push onClick={() => go(answered(of, false))}>I don’t</Push>
        </div>
        <button type="button" class="wire-next" onClick={() => go(answered(of, true))}>
          {last ? 'I see it: finish' : 'I see it'}
        </button>
      </div>
    </>
  );
}

/** Said from what is sent to the lamp, not from what was asked for. */
function whatToSee(asked: boolean, colour: number, shines: boolean): string {
  if (!asked) return ended.value ?? 'It is not lit up by hand now.';
  if (!shines) return 'It gives no light of its own: look at its display, or listen. Do you see or hear it?';
  if (colour === 0) return 'It gets no light just now.';
  return `It is sent ${colourNames.value.nameOf(colour)} light now. Do you see it?`;
}

function Wrapped({ of }: { readonly of: Walk }) {
  const { length } = of.unseen;
  return (
    <>
      <div class="wire-walk-light" aria-live="polite">
        <h2>{of.order.length === 0 ? 'No lights in this show yet' : 'That was all of them'}</h2>
        <p>{counted(of.order.length, 'light')}. Nothing is lit up by hand any more.</p>
        {length > 0 && <p>{length === 1 ? 'One was not seen. Look at it:' : `${length} were not seen. Look at them:`}</p>}
        {length === 0 && of.order.length > 0 && <p>You saw every one of them.</p>}
        <ul class="wire-noted">
          {of.unseen.map((id) => (
            <li key={id}>
              <Push
                onClick={() => {
                  stop();
                  picked.value = { fixture: id, slot: undefined };
                }}
              >
                {nameOf(id)}, {addressOf(id)}
              </Push>
            </li>
          ))}
        </ul>
      </div>
      <div class="wire-walk-acts">
        <div>
          <Push onClick={() => go(back(of))} disabled={of.order.length === 0}>
            Back
          </Push>
          <Push onClick={setOut} disabled={of.order.length === 0}>
            Once more
          </Push>
        </div>
        <button type="button" class="wire-next" onClick={stop}>
          Finish
        </button>
      </div>
    </>
  );
}

function addressOf(id: string): string {
  const fixture = byId.peek().get(id);
  return fixture === undefined ? 'gone' : addressesOf(fixture);
}
