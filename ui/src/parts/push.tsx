import type { ComponentChildren } from 'preact';

interface PushProps {
  readonly onClick?: () => void;
  readonly children: ComponentChildren;
  /** `main`: the one thing that this place is for. */
  readonly kind?: 'main' | 'plain';
  readonly disabled?: boolean;
  readonly label?: string;
  readonly pressed?: boolean;
  readonly type?: 'button' | 'submit';
}

/** An ordinary button of the interface, not one of the show. */
export function Push({ onClick, children, kind = 'plain', disabled = false, label, pressed, type = 'button' }: PushProps) {
  return (
    <button
      type={type}
      class={`push ${kind}`}
      {...(onClick === undefined ? {} : { onClick })}
      disabled={disabled}
      aria-label={label}
      aria-pressed={pressed}
    >
      {children}
    </button>
  );
}
