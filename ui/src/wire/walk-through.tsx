import { useEffect, useRef } from 'preact/hooks';
import { counted } from '../../../node/core/words.ts';
import { addressesOf, givesLight } from '../parts/address.ts';
import { Push } from '../parts/push.tsx';
import { useWakeLock } from '../parts/wake-lock.ts';
import { light } from './hand.ts';
import { Above } from './hand-bar.tsx';
import { end, ended, hand, put } from './held.ts';
import { byId, fixtures, nameOf, picked, walk } from './page.ts';
import { back, current, isOver, next, note, type Walk, walkThrough } from './walk.ts';

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
  useWakeLock(!over);
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
  const wrong = of.noted.includes(id);
  return (
    <>
      <header>
        <p class="quiet">
          {of.at + 1} of {of.order.length}
        </p>
        <Push onClick={stop}>Stop</Push>
      </header>
      <div class="wire-walk-light" aria-live="polite">
        {fixture === undefined ? (
          <h2>No longer in the show</h2>
        ) : (
          <>
            <p class="quiet">{fixture.use}</p>
            <h2>{fixture.name}</h2>
            <p class="wire-address">{addressesOf(fixture)}</p>
            <p class="quiet">universe, then start address</p>
            <p>{whatToSee(lit, givesLight(fixture))}</p>
          </>
        )}
        <p>
          <Above />
        </p>
      </div>
      <div class="wire-walk-acts">
        {!lit && <Push onClick={() => go(of)}>Light it up again</Push>}
        <div>
          <Push disabled={of.at === 0} onClick={() => go(back(of))}>
            Back
          </Push>
          <Push pressed={wrong} onClick={() => (walk.value = note(of))}>
            {wrong ? 'Noted: not right' : 'Not right'}
          </Push>
        </div>
        <button type="button" class="wire-next" onClick={() => go(next(of))}>
          {last ? 'Done' : 'Next'}
        </button>
      </div>
    </>
  );
}

function whatToSee(lit: boolean, shines: boolean): string {
  if (!lit) return ended.value ?? 'It is not lit up now.';
  return shines ? 'It is lit up white now. Do you see it?' : 'It gives no light of its own: look at its display, or listen.';
}

function Wrapped({ of }: { readonly of: Walk }) {
  const { length } = of.noted;
  return (
    <>
      <div class="wire-walk-light" aria-live="polite">
        <h2>{of.order.length === 0 ? 'No lights in this show yet' : 'That was all of them'}</h2>
        <p>{counted(of.order.length, 'light')}. Nothing is lit up by hand any more.</p>
        {length > 0 && <p>{length === 1 ? 'One was not right. Look at it:' : `${length} were not right. Look at them:`}</p>}
        {length === 0 && of.order.length > 0 && <p>You noted nothing that was not right.</p>}
        <ul class="wire-noted">
          {of.noted.map((id) => (
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
          Good
        </button>
      </div>
    </>
  );
}

function addressOf(id: string): string {
  const fixture = byId.peek().get(id);
  return fixture === undefined ? 'gone' : addressesOf(fixture);
}
