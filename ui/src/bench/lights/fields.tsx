import type { ComponentChildren } from 'preact';
import { useId } from 'preact/hooks';

interface Choice {
  readonly value: string;
  readonly name: string;
}

interface PickProps {
  readonly label: string;
  readonly value: string;
  readonly options: readonly Choice[] | readonly { readonly name: string; readonly options: readonly Choice[] }[];
  readonly onPick: (value: string) => void;
}

/** One of several, by the system's own list: a phone shows it as wide as the screen. */
export function PickOne({ label, value, options, onPick }: PickProps) {
  const own = useId();
  return (
    <div class="bench-field">
      <label for={own}>{label}</label>
      <select id={own} value={value} onChange={({ currentTarget }) => onPick(currentTarget.value)}>
        {options.map((one) =>
          'options' in one ? (
            <optgroup key={one.name} label={one.name}>
              {one.options.map((inner) => (
                <option key={inner.value} value={inner.value}>
                  {inner.name}
                </option>
              ))}
            </optgroup>
          ) : (
            <option key={one.value} value={one.value}>
              {one.name}
            </option>
          ),
        )}
      </select>
    </div>
  );
}

/** Something to tick, with a line that says what it does. */
export const Mark = ({
  label,
  hint,
  value,
  onMark,
}: {
  readonly label: string;
  readonly hint?: string;
  readonly value: boolean;
  readonly onMark: (on: boolean) => void;
}) => (
  <div class="choices lights-mark">
    <label>
      <input type="checkbox" checked={value} onChange={() => onMark(!value)} />
      <span>
        <strong>{label}</strong>
        {hint !== undefined && <span class="quiet">{hint}</span>}
      </span>
    </label>
  </div>
);

/** What a page says of itself before anything else, and what it offers. */
export const Lines = ({ lines }: { readonly lines: readonly ComponentChildren[] }) => (
  <>
    {lines.map((line, i) => (
      <p key={i} class="quiet">
        {line}
      </p>
    ))}
  </>
);

/** A whole number within bounds; undefined: none. */
export function wholeNumber(text: string, least: number, most: number): number | undefined {
  const asked = text.trim();
  if (!/^\d{1,6}$/.test(asked)) return undefined;
  const number = Number(asked);
  return number >= least && number <= most ? number : undefined;
}
