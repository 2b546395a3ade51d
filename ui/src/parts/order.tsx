import { Push } from './push.tsx';

interface OrderProps {
  readonly name: string;
  /** By which the focus finds it again where it has come to. */
  readonly mark: string;
  readonly at: number;
  readonly count: number;
  readonly disabled?: boolean;
  readonly onMove: (at: number, by: -1 | 1, mark: string) => void;
}

/** One place earlier or later in a list. */
export const Order = ({ name, mark, at, count, disabled = false, onMove }: OrderProps) => (
  <>
    <span data-moves={`${mark} earlier`}>
      <Push label={`${name} earlier`} disabled={disabled || at === 0} onClick={() => onMove(at, -1, `${mark} earlier`)}>
        Earlier
      </Push>
    </span>
    <span data-moves={`${mark} later`}>
      <Push label={`${name} later`} disabled={disabled || at === count - 1} onClick={() => onMove(at, 1, `${mark} later`)}>
        Later
      </Push>
    </span>
  </>
);
