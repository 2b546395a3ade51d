import type { ComponentChildren } from 'preact';
import { useEffect, useId, useRef, useState } from 'preact/hooks';
import { isOpen } from '../state.ts';
import { readShare, writeLevel } from './amounts.ts';
import { type Field, pullGesture, waitsFor, want } from './edits.ts';
import { Typed } from './typed.tsx';

/** A name as it is typed; undefined: none. */
const plain = (text: string): string | undefined => text.trim() || undefined;

interface TextProps extends Field {
  readonly label: string;
  readonly value: string;
  readonly read?: (text: string) => unknown;
  readonly help?: string;
  readonly most?: number;
  readonly isOptional?: boolean;
  readonly hint?: string;
}

/** A field of a thing to type in. It is sent as it is typed, keeps what was typed while it waits, and goes along with others where nobody types here. */
export function Text({ label, value, read = plain, help = 'It needs a name.', most, isOptional, hint, ...field }: TextProps) {
  const waits = waitsFor(field);
  return (
    <Typed
      label={label}
      // What waits for the line is what stands here: it is not lost.
      value={typeof waits?.now === 'string' ? waits.now : value}
      onType={(text, gesture) => {
        const isEmpty = isOptional === true && text.trim() === '';
        const now = isEmpty ? undefined : read(text);
        if (now === undefined && !isEmpty) return false;
        want({ ...field, now, gesture });
        return true;
      }}
      help={help}
      {...(most === undefined ? {} : { most })}
      {...(hint === undefined ? {} : { hint })}
      waits={waits !== undefined && !isOpen.value}
    />
  );
}

/** A bare decimal may be meant as a share or as per cent: which of both it was taken for is said. */
const isOtherwise = (typed: string): boolean => /^\s*\d*[.,]\d+\s*$/.test(typed);

interface PullProps {
  readonly label: string;
  /** 0..1; undefined: nothing is wanted of it. */
  readonly value: number | undefined;
  readonly onPull: (level: number, gesture: string) => void;
}

/** A level that is pulled, or written beside it. */
export function Pull({ label, value, onPull }: PullProps) {
  const [own, setOwn] = useState<number | undefined>(undefined);
  const [typed, setTyped] = useState<string | undefined>(undefined);
  const id = useId();
  const gesture = useRef('');
  useEffect(() => {
    if (own === undefined) return;
    const timer = setTimeout(() => setOwn(undefined), 1500);
    return () => clearTimeout(timer);
  }, [own, value]);
  // What was pulled last does not stand where the level has been left to what plays below since.
  useEffect(() => {
    if (value === undefined) setOwn(undefined);
  }, [value]);
  const level = own ?? value;
  const shown = Math.round((level ?? 0) * 100);
  const told = level === undefined ? 'as below' : writeLevel(level);
  const isWrong = typed !== undefined && readShare(typed) === undefined;
  const begin = (): void => {
    gesture.current = pullGesture();
  };
  const pull = (next: number): void => {
    if (gesture.current === '') begin();
    setOwn(next);
    onPull(next, gesture.current);
  };
  return (
    <div class="bench-field bench-pull">
      <label for={id}>{label}</label>
      <input
        id={id}
        type="range"
        min="0"
        max="100"
        value={shown}
        aria-valuetext={told}
        onPointerDown={begin}
        onInput={({ currentTarget }) => pull(Number(currentTarget.value) / 100)}
      />
      <input
        type="text"
        aria-label={`${label}, written`}
        aria-invalid={isWrong}
        maxLength={12}
        autocomplete="off"
        value={typed ?? told}
        onFocus={({ currentTarget }) => {
          begin();
          currentTarget.select();
        }}
        onInput={({ currentTarget }) => {
          setTyped(currentTarget.value);
          const next = readShare(currentTarget.value);
          if (next !== undefined) pull(next);
        }}
        onKeyDown={({ key, currentTarget }) => key === 'Enter' && currentTarget.blur()}
        onBlur={() => isWrong || setTyped(undefined)}
      />
      {typed !== undefined && (isWrong || isOtherwise(typed)) && (
        <small role="status">
          {isWrong ? `A share such as 50 % or 1/2, 100 % at most. It is still ${told}.` : `Understood as ${told}.`}
        </small>
      )}
    </div>
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

interface ChipProps {
  readonly label: string;
  readonly isChosen: boolean;
  readonly onChange: () => void;
  /** A colour to show beside the name; none: it has no swatch. */
  readonly swatch?: string;
  /** One of several of which one is chosen, by the name that they share; none: any number may be. */
  readonly among?: string;
  /** A sign to show before the name. */
  readonly children?: ComponentChildren;
}

/** A choice by a name: filled and with the word while it is chosen, an outline while it is not. */
export function Chip({ label, isChosen, onChange, swatch, among, children }: ChipProps) {
  return (
    <label
      class="bench-chip"
      data-swatch={swatch !== undefined}
      {...(swatch === undefined ? {} : { style: { '--swatch': swatch } })}
    >
      <input
        type={among === undefined ? 'checkbox' : 'radio'}
        {...(among === undefined ? {} : { name: among })}
        checked={isChosen}
        onChange={onChange}
        aria-label={label}
      />
      {children}
      <span>
        {label}
        <small class="chip-word" aria-hidden="true">
          chosen
        </small>
      </span>
    </label>
  );
}
