import type { ComponentChildren } from 'preact';
import { useEffect, useLayoutEffect, useRef, useState } from 'preact/hooks';
import type { State } from '../../../node/api/contract.ts';
import { levelBefore, takeLevelBack } from '../levels.ts';
import { pressFeel } from '../parts/press-feel.ts';
import { halfSeconds } from '../parts/ticker.ts';
import { underneathInWords, watchInWords } from '../parts/words.ts';
import { tell } from '../presses.ts';
import { hello, isOpen, isSilent, link, may, nodeNow, role, seen, state } from '../state.ts';

/** Milliseconds from which a thumb notices the way there and back. */
const SLOW = 250;
/** How long the last press can be taken back from here. Milliseconds. */
const UNDO_FOR = 10_000;

/** What guests see, in words worked out from the light; under it, in a place of its own height, what to take back and what becomes of it. */
export function SeenWords() {
  const now = seen.value;
  const known = isOpen.value && !isSilent.value;
  const line =
    now === undefined
      ? 'Looking at the light…'
      : now.sent === 'nowhere'
        ? 'Sent nowhere: no light gets what is shown here.'
        : now.line;
  return (
    <div class="state-line" data-sent={now?.sent}>
      <What line={known ? line : `Last heard: ${line}`} />
      <div class="under">
        <Beside />
        <TakeBack />
      </div>
    </div>
  );
}

interface SheetProps {
  readonly class?: string;
  readonly 'data-long'?: boolean;
  readonly 'data-waits'?: boolean;
  readonly children: ComponentChildren;
}

/** What a touch lays over other things. It goes with the next touch, wherever that is, so that it never keeps a button covered. */
function Sheet({ children, ...rest }: SheetProps) {
  const sheet = useRef<HTMLDetailsElement>(null);
  useEffect(() => {
    const close = () => sheet.current?.removeAttribute('open');
    const touched = ({ target }: Event) => {
      const summary = sheet.current?.querySelector('summary');
      // Its own summary opens and closes it without help.
      if (!(target instanceof Node && summary?.contains(target))) close();
    };
    const leave = ({ key }: KeyboardEvent) => key === 'Escape' && close();
    addEventListener('click', touched);
    addEventListener('keydown', leave);
    return () => {
      removeEventListener('click', touched);
      removeEventListener('keydown', leave);
    };
  }, []);
  return (
    <details ref={sheet} {...rest}>
      {children}
    </details>
  );
}

/** Letters reach a little out of their lines; only a line more is cut. Pixels. */
const HALF_A_LINE = 8;
/** Characters from which the line is written smaller, to have three lines in the height of two. */
const LONG = 72;

/** The line in a place of fixed height; where it does not fit it runs up to the words that say so, and a touch lays the whole of it over the picture. */
function What({ line }: { readonly line: string }) {
  const words = useRef<HTMLSpanElement>(null);
  const [cut, setCut] = useState(false);
  useLayoutEffect(() => {
    const element = words.current;
    if (element === null) return;
    // It is called once at least, when all is laid out: asked any earlier, the page would be laid out for this alone.
    const observer = new ResizeObserver(() => setCut(element.scrollHeight > element.clientHeight + HALF_A_LINE));
    observer.observe(element);
    return () => observer.disconnect();
  }, [line]);
  return (
    <Sheet class="what" data-long={line.length > LONG}>
      <summary>
        <span ref={words} class="words">
          {cut && (
            <span class="rest" aria-hidden="true">
              … All of it
            </span>
          )}
          {line}
        </span>
      </summary>
      <p>{line}</p>
    </Sheet>
  );
}

/** The small print: what a guard does, what waits underneath, what becomes of the lights without a phone. */
function Beside() {
  const now = state.value;
  const show = hello.value?.show;
  if (now === undefined || show === undefined) return null;
  const { trip } = link.value;
  const slow = isOpen.value && trip !== undefined && trip > SLOW;
  const underneath = underneathInWords(now, show.buttons);
  const sentences = [
    ...(role.value === 'viewer' ? ['This phone looks on.'] : []),
    ...[...(seen.value?.closed ?? []), ...(seen.value?.held ?? []), ...(seen.value?.hints ?? [])].map((one) => `${one}.`),
    slow ? `Slow network: ${Math.round(trip)} ms there and back.` : watchInWords(now, show.buttons),
    ...(show.demo ? ['Demo.'] : []),
  ];
  const waits =
    underneath.length === 0 ? undefined : `${underneath.length === 1 ? '1 waits' : `${underneath.length} wait`} underneath`;
  const rest = sentences.join(' ');
  if (waits === undefined && rest === '') return <div class="beside" />;
  return (
    <div class="beside quiet">
      <Sheet class="print" data-waits={waits !== undefined}>
        <summary>
          <span>
            {waits !== undefined && <span class="waits">{waits}</span>} <span class="others">{rest}</span>
          </span>
        </summary>
        <div>
          {waits !== undefined && <p>{underneath.join(', ')}: covered now, there again when what lies above goes.</p>}
          <p>{rest}</p>
        </div>
      </Sheet>
    </div>
  );
}

const backInWords = ({ to, without }: NonNullable<State['undo']>): string =>
  without !== undefined ? `Without ${without}` : to === null ? 'Back to dark' : `Back to ${to}`;

/** The last press or the last pull, to be taken back for ten seconds. */
function TakeBack() {
  halfSeconds.value;
  const press = state.value?.undo;
  const level = levelBefore.value;
  const at = nodeNow();
  const fresh = (one: { readonly at: number } | undefined): boolean => one !== undefined && at - one.at < UNDO_FOR;
  if (!may('undo') || (!fresh(press) && !fresh(level))) return null;
  const open = isOpen.value;
  if (level !== undefined && fresh(level) && (press === undefined || level.at >= press.at))
    return (
      <button type="button" class="take-back" disabled={!open} {...pressFeel} onClick={() => takeLevelBack(level)}>
        <span>
          {level.name} back to {Math.round(level.level * 100)} %
        </span>
      </button>
    );
  if (press === undefined) return null;
  return (
    <button
      type="button"
      class="take-back"
      disabled={!open}
      {...pressFeel}
      onClick={() => tell({ do: 'undo', number: press.number })}
    >
      <span>{backInWords(press)}</span>
    </button>
  );
}
