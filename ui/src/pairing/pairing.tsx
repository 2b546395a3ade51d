import { useEffect, useState } from 'preact/hooks';
import './pairing.css';
import { pair } from '../api.ts';
import { connection } from '../connection.ts';
import { Push } from '../parts/push.tsx';
import { guessedName } from '../parts/this-device.ts';
import { me, removed } from '../state.ts';
import { codeIn, LETTERS, LONGEST, letters } from './code.ts';

/** The only thing that an unpaired browser sees. */
export function Pairing() {
  const kind = guessedName().toLowerCase();
  const [code, setCode] = useState(() => codeIn(location.hash));
  const [name, setName] = useState(guessedName);
  const [trouble, setTrouble] = useState<string | undefined>(undefined);
  const [asking, setAsking] = useState(false);
  // A newer link that is opened while the page is up changes the address alone.
  useEffect(() => {
    const read = () => setCode((typed) => codeIn(location.hash) || typed);
    addEventListener('hashchange', read);
    return () => removeEventListener('hashchange', read);
  }, []);

  const submit = async () => {
    const count = letters(code).length;
    if (count !== LETTERS) return setTrouble(`A code has eight letters and figures; this one has ${count}.`);
    if (name.trim() === '') return setTrouble(`Give this ${kind} a name, so that others know which one it is.`);
    setAsking(true);
    setTrouble(undefined);
    try {
      const answer = await pair(letters(code), name.trim());
      history.replaceState(null, '', '#/tonight');
      connection.joined(answer);
    } catch (error) {
      setTrouble((error as Error).message);
    } finally {
      setAsking(false);
    }
  };

  return (
    <main class="pairing prose">
      <header>
        <h1>Duskhand</h1>
        <p>This node plays the show lighting of an event. Paired phones are its remote.</p>
        {removed.value && <p class="trouble">This phone was taken off the node. It needs a new code to come back.</p>}
      </header>
      <form
        noValidate
        onSubmit={(event) => {
          event.preventDefault();
          void submit();
        }}
      >
        <label for="code">Code</label>
        <input
          id="code"
          class="code"
          value={code}
          placeholder="ABCD-EFGH"
          maxLength={LONGEST}
          autoComplete="one-time-code"
          autoCapitalize="characters"
          spellcheck={false}
          aria-describedby="where trouble"
          aria-invalid={trouble !== undefined}
          onInput={(event) => setCode(event.currentTarget.value)}
        />
        <label for="name">Name of this {kind}</label>
        <input id="name" value={name} maxLength={40} autoComplete="off" onInput={(event) => setName(event.currentTarget.value)} />
        <p id="trouble" class="form-trouble" role="alert">
          {trouble}
        </p>
        <Push kind="main" type="submit" disabled={asking}>
          {asking ? 'Asking the node…' : `Pair this ${kind}`}
        </Push>
      </form>
      <section id="where">
        <h2>Where the code is</h2>
        <ul>
          {me.value?.claimable === true && <li>On the node’s console: it is new and waits for its first phone.</li>}
          <li>On the node’s own machine, by “duskhand pair”.</li>
          <li>On a phone that is paired already, under Phones and node.</li>
        </ul>
      </section>
      <p class="quiet">It controls show lighting only, never house, exit or emergency lighting.</p>
    </main>
  );
}
