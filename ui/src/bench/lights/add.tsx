import { useState } from 'preact/hooks';
import { counted } from '../../../../node/core/words.ts';
import { type Show, uses } from '../../../../node/show/document.ts';
import { Push } from '../../parts/push.tsx';
import { isOpen } from '../../state.ts';
import { change } from '../edits.ts';
import { Typed } from '../typed.tsx';
import { PickOne, wholeNumber } from './fields.tsx';
import { TypeFile } from './file.tsx';
import { adding, type NewLight, newLights, type Use } from './making.ts';
import { modeWords, type Picked, PickType } from './pick-type.tsx';
import { chooseOnly, goTo, lightsAt, said } from './place.ts';
import { copyOfType, newOwnType } from './type.tsx';
import { slotsInWords } from './words.ts';

/** Lights that are added at once, at most. */
const MOST = 200;

export const useOptions = uses.map((use) => ({ value: use, name: `${use.charAt(0).toUpperCase()}${use.slice(1)}` }));

/** New lights: first what they are, then how many. */
export function AddLights({ show }: { readonly show: Show }) {
  const [picked, setPicked] = useState<Picked | undefined>(undefined);
  if (picked !== undefined) return <HowMany show={show} picked={picked} onOther={() => setPicked(undefined)} />;
  return (
    <section aria-labelledby="bench-add">
      <h1 id="bench-add" class="bench-title">
        Add lights
      </h1>
      <p class="quiet">What kind of lamp is it, and how many channels is it set to? Its menu and its manual say.</p>
      <PickType show={show} onPick={setPicked} />
      <h2>It is not among them</h2>
      <TypeFile onTaken={(type) => type.modes[0] && setPicked({ type, mode: type.modes[0] })} />
      <p class="quiet">Or type in the table of channels that its manual has.</p>
      <Push onClick={() => void newOwnType(show)}>Type in a lamp of your own</Push>
    </section>
  );
}

interface HowManyProps {
  readonly show: Show;
  readonly picked: Picked;
  readonly onOther: () => void;
}

function HowMany({ show, picked: { type, mode: first }, onOther }: HowManyProps) {
  const [mode, setMode] = useState(first);
  const [count, setCount] = useState(1);
  const [use, setUse] = useState<Use>(type.use);
  const [typed, setTyped] = useState<string | undefined>(undefined);
  const [universe, setUniverse] = useState<number | undefined>(undefined);
  const [asked, setAsked] = useState<number | undefined>(undefined);
  const slot = asked ?? 1;
  const name = typed ?? `${use.charAt(0).toUpperCase()}${use.slice(1)}`;
  const from = universe === undefined ? undefined : { universe, address: slot };
  const lights = newLights(show, { type: type.id, mode: mode.id, sizes: mode.sizes, name, count, use, from });
  const add = async (): Promise<void> => {
    if (lights === undefined || !(await change(...adding(lights)))) return;
    chooseOnly([]);
    said.value = `${named(lights)} ${lights.length === 1 ? 'is' : 'are'} in. Set each lamp to the address that stands beside it.`;
    goTo();
  };
  return (
    <section aria-labelledby="bench-add">
      <h1 id="bench-add" class="bench-title">
        {type.name}
      </h1>
      <Push onClick={onOther}>Another kind</Push>
      <div class="lights-form">
        {type.modes.length > 1 && (
          <PickOne
            label="Set to"
            value={mode.id}
            options={type.modes.map((one) => ({ value: one.id, name: modeWords(one) }))}
            onPick={(id) => setMode(type.modes.find((one) => one.id === id) ?? mode)}
          />
        )}
        <PickOne label="What for" value={use} options={useOptions} onPick={(value) => setUse(value as Use)} />
        <Typed
          label="Called"
          value={name}
          most={60}
          help="They need a name."
          onType={(text) => {
            const isName = text.trim() !== '';
            setTyped(isName ? text : undefined);
            return isName;
          }}
        />
      </div>
      <div class="lights-pair">
        <Typed
          label="How many"
          value={String(count)}
          numeric
          help={`A number from 1 to ${MOST}.`}
          onType={(text) => {
            const number = wholeNumber(text, 1, MOST);
            if (number !== undefined) setCount(number);
            return number !== undefined;
          }}
        />
        <Typed
          label="Universe"
          value={String(universe ?? lights?.[0]?.universe ?? 1)}
          numeric
          help="A number from 1 to 63999."
          onType={(text) => {
            const number = wholeNumber(text, 1, 63_999);
            if (number !== undefined) setUniverse(number);
            return number !== undefined;
          }}
        />
        <Typed
          label="From slot"
          value={String(asked ?? lights?.[0]?.address ?? 1)}
          numeric
          help="A number from 1 to 512."
          onType={(text) => {
            const number = wholeNumber(text, 1, 512);
            if (number !== undefined) {
              setAsked(number);
              setUniverse(universe ?? lights?.[0]?.universe ?? 1);
            }
            return number !== undefined;
          }}
        />
      </div>
      <p role="status">
        {lights === undefined
          ? 'There is no room for so many from there on.'
          : `${asked === undefined || lights[0]?.address === asked ? '' : `From slot ${asked} on there is no room for the first. `}${named(lights)}: ${whereInWords(lights, mode.sizes)}.`}
      </p>
      <Push kind="main" disabled={lights === undefined || !isOpen.value} onClick={() => void add()}>
        Add {counted(count, 'light')}
      </Push>
      {type.from === 'library' && (
        <Push onClick={() => void copyOfType(show, type.id)}>Its channels are others: change a copy</Push>
      )}
      {type.from === 'show' && (
        <p>
          <a class="push" href={lightsAt('type', type.id)}>
            Change its channels
          </a>
        </p>
      )}
    </section>
  );
}

/** `“Uplight 1” to “Uplight 12”`, `“Spot 1” and “Spot 2”`. */
function named(lights: readonly NewLight[]): string {
  const [first, last] = [lights[0]?.name ?? '', lights.at(-1)?.name ?? ''];
  return lights.length === 1 ? `“${first}”` : `“${first}” ${lights.length === 2 ? 'and' : 'to'} “${last}”`;
}

/** Where they stand: a stretch of slots for each universe. */
function whereInWords(lights: readonly NewLight[], sizes: readonly number[]): string {
  const starts = lights.flatMap(({ universe = 1, address = 1, further = [] }) =>
    [{ universe, address }, ...further].map((at, i) => ({ ...at, last: at.address + (sizes[i] ?? 1) - 1 })),
  );
  return [...new Set(starts.map(({ universe }) => universe))]
    .map((universe) => {
      const own = starts.filter((one) => one.universe === universe);
      return slotsInWords(universe, Math.min(...own.map(({ address }) => address)), Math.max(...own.map(({ last }) => last)));
    })
    .join('; ');
}
