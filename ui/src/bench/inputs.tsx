import { useEffect, useId, useRef, useState } from 'preact/hooks';
import { isOpen } from '../state.ts';
import { type Field, pullGesture, waitsFor, want } from './edits.ts';

/** A fresh name for what belongs together: one pull, or one stretch of typing. */
const newGesture = (): string => `${Date.now().toString(36)}-${Math.random().toString(36).slice(2, 8)}`;

/** A name as it is typed; undefined: none. */
const plain = (text: string): string | undefined => text.trim() || undefined;

interface TextProps extends Field {
  readonly label: string;
  readonly value: string;
  /** What was written, as the document has it; undefined where it makes no sense. */
  readonly read?: (text: string) => unknown;
  /** What to say where it makes no sense. */
  readonly help?: string;
  readonly most?: number;
}

/** A field to type in. It is sent as it is typed, keeps what was typed while it waits, and goes along with others where nobody types here. */
export function Text({ label, value, read = plain, help = 'It needs a name.', most = 80, ...field }: TextProps) {
  const [typed, setTyped] = useState<string | undefined>(undefined);
  const gesture = useRef('');
  const own = useId();
  const waits = waitsFor(field);
  const shown = typed ?? value;
  const isWrong = typed !== undefined && read(typed) === undefined;
  return (
    <div class="bench-field">
      <label for={own}>{label}</label>
      <input
        id={own}
        aria-describedby={`${own}-said`}
        type="text"
        value={shown}
        maxLength={most}
        autocomplete="off"
        aria-invalid={isWrong}
        onFocus={() => {
          gesture.current = newGesture();
        }}
        onInput={({ currentTarget: { value: text } }) => {
          setTyped(text);
          const now = read(text);
          if (now !== undefined) want({ ...field, now, gesture: gesture.current });
        }}
        onKeyDown={({ key, currentTarget }) => key === 'Enter' && currentTarget.blur()}
        onBlur={() => setTyped(undefined)}
      />
      <small id={`${own}-said`} role="status">
        {isWrong ? help : waits !== undefined && !isOpen.value ? 'Waits for the line to the node.' : ''}
      </small>
    </div>
  );
}

interface PullProps {
  readonly label: string;
  /** 0..1 */
  readonly value: number;
  readonly onPull: (level: number, gesture: string) => void;
}

/** A level that is pulled. */
export function Pull({ label, value, onPull }: PullProps) {
  const [own, setOwn] = useState<number | undefined>(undefined);
  const gesture = useRef('');
  useEffect(() => {
    if (own === undefined) return;
    const timer = setTimeout(() => setOwn(undefined), 1500);
    return () => clearTimeout(timer);
  }, [own, value]);
  const shown = Math.round((own ?? value) * 100);
  return (
    <label class="bench-field bench-pull">
      <span>{label}</span>
      <output>{shown} %</output>
      <input
        type="range"
        min="0"
        max="100"
        value={shown}
        onPointerDown={() => {
          gesture.current = pullGesture();
        }}
        onInput={({ currentTarget }) => {
          if (gesture.current === '') gesture.current = pullGesture();
          setOwn(Number(currentTarget.value) / 100);
          onPull(Number(currentTarget.value) / 100, gesture.current);
        }}
      />
    </label>
  );
}

interface TickProps extends Field {
  readonly label: string;
  readonly hint: string;
  readonly value: boolean;
}

export function Tick({ label, hint, value, ...field }: TickProps) {
  const now = (waitsFor(field)?.now as boolean | undefined) ?? value;
  return (
    <label>
      <input type="checkbox" checked={now} onChange={() => want({ ...field, now: !now })} />
      <span>
        <strong>{label}</strong>
        <span class="quiet">{hint}</span>
      </span>
    </label>
  );
}
