import { change, settings } from '../settings.ts';
import { hello, role } from '../state.ts';
import { roleWords } from './role-words.ts';

/** What this phone keeps for itself. */
export function ThisPhone() {
  const { hand, dimmer, awake } = settings.value;
  return (
    <section>
      <h2>This phone{hello.value === undefined ? '' : `, “${hello.value.you.name}”`}</h2>
      {role.value !== undefined && <p class="quiet">{roleWords[role.value].name}</p>}
      <fieldset class="choices row">
        <legend>Held in the</legend>
        {(['left', 'right'] as const).map((one) => (
          <label key={one}>
            <input type="radio" name="hand" checked={hand === one} onChange={() => change({ hand: one })} />
            <span>{one} hand</span>
          </label>
        ))}
      </fieldset>
      <div class="choices">
        <label>
          <input type="checkbox" checked={dimmer} onChange={() => change({ dimmer: !dimmer })} />
          <span>
            <strong>Darker screen</strong>
            <span class="quiet">for a very dark room</span>
          </span>
        </label>
        <label>
          <input type="checkbox" checked={awake} onChange={() => change({ awake: !awake })} />
          <span>
            <strong>Screen stays on</strong>
            <span class="quiet">while Tonight is open</span>
          </span>
        </label>
      </div>
    </section>
  );
}
