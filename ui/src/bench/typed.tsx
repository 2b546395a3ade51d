import { useId, useRef, useState } from 'preact/hooks';
import { Push } from '../parts/push.tsx';

/** A fresh name for what belongs together: one pull, or one stretch of typing. */
export const newGesture = (): string => `${Date.now().toString(36)}-${Math.random().toString(36).slice(2, 8)}`;

/** Takes what was typed. @returns whether it makes sense; or as what it was understood, where that is not just as it was typed */
export type OnType = (text: string, gesture: string) => boolean | string;

interface TypedProps {
  readonly label: string;
  readonly value: string;
  readonly onType: OnType;
  /** What to say where it makes no sense. */
  readonly help: string;
  /** What may have been meant where it makes none: as it would be written. */
  readonly propose?: (text: string) => string | undefined;
  /** What is amiss with what stands there. */
  readonly amiss?: string | undefined;
  /** Stands below it while there is nothing else to say. */
  readonly hint?: string;
  readonly most?: number;
  readonly numeric?: boolean;
  /** It waits for the line to the node. */
  readonly waits?: boolean;
}

/** A field to type in. What makes sense is told as it is typed; what makes none stays, and it is said what stands there instead. */
export function Typed({
  label,
  value,
  onType,
  help,
  propose,
  amiss,
  hint = '',
  most = 80,
  numeric = false,
  waits = false,
}: TypedProps) {
  const [typed, setTyped] = useState<string | undefined>(undefined);
  const [taken, setTaken] = useState<boolean | string>(true);
  const gesture = useRef('');
  const own = useId();
  const type = (text: string): void => {
    setTyped(text);
    setTaken(onType(text, gesture.current));
  };
  const isWrong = taken === false;
  const proposed = isWrong && typed !== undefined ? propose?.(typed) : undefined;
  const said = (): string => {
    if (isWrong) return `${help}${value === '' ? '' : ` It is still ${value}.`}`;
    if (waits) return 'Waits for the line to the node.';
    if (typeof taken === 'string' && typed !== undefined && taken !== typed.trim()) return `Understood as ${taken}.`;
    return amiss ?? hint;
  };
  return (
    <div class="bench-field">
      <label for={own}>{label}</label>
      <input
        id={own}
        type="text"
        inputMode={numeric ? 'numeric' : undefined}
        autocomplete="off"
        maxLength={most}
        value={typed ?? value}
        aria-describedby={`${own}-said`}
        aria-invalid={isWrong || amiss !== undefined}
        onFocus={({ currentTarget }) => {
          gesture.current = newGesture();
          if (numeric) currentTarget.select();
        }}
        onInput={({ currentTarget }) => type(currentTarget.value)}
        onKeyDown={({ key, currentTarget }) => key === 'Enter' && currentTarget.blur()}
        // What makes no sense stays, and is said, until it is mended.
        onBlur={() => isWrong || setTyped(undefined)}
      />
      <small id={`${own}-said`} role="status">
        {said()}
      </small>
      {proposed !== undefined && (
        <Push
          onClick={() => {
            type(proposed);
            setTyped(undefined);
          }}
        >
          Take it as {proposed}
        </Push>
      )}
    </div>
  );
}

interface ReadingProps<Value> {
  /** Undefined where it makes no sense. */
  readonly read: (text: string) => Value | undefined;
  readonly onRead: (now: Value, gesture: string) => void;
  /** As it is written, to show how it was understood. */
  readonly write?: (now: Value) => string;
}

/** Takes what a reader understands. */
export const reading =
  <Value,>({ read, onRead, write }: ReadingProps<Value>): OnType =>
  (text, gesture) => {
    const now = read(text);
    if (now === undefined) return false;
    onRead(now, gesture);
    return write === undefined ? true : write(now);
  };
