interface ColourEyeProps {
  /** Whose colour, for those who listen. */
  readonly called: string;
  /** What it looks like; none: nothing is picked yet. */
  readonly css: string | undefined;
  readonly isOpen: boolean;
  readonly onToggle: () => void;
}

/** A swatch that opens the plane on which its colour is found by eye. */
export const ColourEye = ({ called, css, isOpen, onToggle }: ColourEyeProps) => (
  <button
    type="button"
    class="colour-eye"
    style={{ '--swatch': css ?? 'none' }}
    aria-expanded={isOpen}
    aria-label={`${called}, by eye`}
    onClick={onToggle}
  >
    {css === undefined && <span aria-hidden="true">by eye</span>}
  </button>
);
