import { signal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { LAST_UNIVERSE } from '../../../../node/core/output-settings.ts';
import { readAddress, written } from '../../parts/address.ts';
import { Push } from '../../parts/push.tsx';
import { hello } from '../../state.ts';
import { drive, driven, isIdle, letGo } from '../../wire/hand.ts';
import { Above } from '../../wire/hand-bar.tsx';
import { end, ended, endWithPage, hand, put } from '../../wire/held.ts';
import { Typed } from '../typed.tsx';
import { PickOne } from './fields.tsx';

/** The first slot of the real lamp on which channels are tried out. */
const lamp = signal<{ readonly universe: number; readonly slot: number } | undefined>(undefined);

/** Which lamp channels are tried out on. What is driven ends with this page, with the line, and when it is hidden. */
export function TestLamp({ type }: { readonly type: string }) {
  useEffect(() => endWithPage(), []);
  const fixtures = hello.value?.show.fixtures ?? [];
  // Lamps of this kind first: most of the time it is one of them.
  const options = [...fixtures]
    .sort((a, b) => Number(b.typeName === type) - Number(a.typeName === type))
    .map(({ name, universe, address }) => {
      const value = written({ universe, slot: address });
      return { value, name: `${name}, ${value}` };
    });
  const value = lamp.value === undefined ? '' : written(lamp.value);
  const choose = (text: string): boolean => {
    const at = readAddress(text);
    if (at !== undefined && at.universe > LAST_UNIVERSE) return false;
    end();
    lamp.value = at;
    return at !== undefined || text === '';
  };
  const isDriving = !isIdle(hand.value);
  return (
    <fieldset class="lights-test">
      <legend>Try each channel on a real lamp</legend>
      <p class="quiet">
        What you pull is sent by hand, over what plays. It lets go when you leave this page. Watch the lamp: it may move, flash or
        heat up.
      </p>
      <div class="lights-form">
        <PickOne
          label="Lamp"
          value={options.some((one) => one.value === value) ? value : ''}
          options={[{ value: '', name: 'None' }, ...options]}
          onPick={choose}
        />
        <Typed
          label="Or the address that is set on it"
          value={value}
          help="An address such as 1.17: universe, then slot."
          hint="On a universe that the show sends."
          onType={choose}
        />
      </div>
      <p role="status">
        {ended.value}
        {isDriving && (
          <>
            Driven by hand. <Above />
          </>
        )}
      </p>
      {isDriving && <Push onClick={() => end()}>Let go</Push>}
    </fieldset>
  );
}

/** A pull for one channel of the lamp; both bytes of it where there are two. */
export function TestPull({
  name,
  slot,
  fine,
}: {
  readonly name: string;
  readonly slot: number;
  readonly fine: number | undefined;
}) {
  const first = lamp.value;
  if (first === undefined) return <p class="quiet">Choose a lamp above to try this channel on it.</p>;
  const at = (own: number) => ({ universe: first.universe, slot: first.slot + own - 1 });
  const value = driven(hand.value, at(slot));
  const last = Math.max(slot, fine ?? 0);
  if (at(last).slot > 512) return <p class="quiet">That slot lies behind the end of its universe.</p>;
  const pull = (next: number): void => {
    const coarse = drive(hand.value, at(slot), next);
    put(fine === undefined ? coarse : drive(coarse, at(fine), next));
  };
  return (
    <div class="lights-pull">
      <label>
        <span>
          Try it: {name} at {written(at(slot))}
        </span>
        <span>{value === undefined ? 'not driven' : `${value} of 255`}</span>
        <input
          type="range"
          min="0"
          max="255"
          value={value ?? 0}
          onInput={({ currentTarget }) => pull(Number(currentTarget.value))}
        />
      </label>
      {value !== undefined && (
        <Push
          label={`Let go of ${name}`}
          onClick={() => put(fine === undefined ? letGo(hand.value, at(slot)) : letGo(letGo(hand.value, at(slot)), at(fine)))}
        >
          Let go
        </Push>
      )}
    </div>
  );
}
