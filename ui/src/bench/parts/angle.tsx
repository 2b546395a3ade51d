import { readDegrees, writeDegrees } from '../amounts.ts';
import { reading, Typed } from '../typed.tsx';
import type { Range } from './abilities.ts';

interface AngleProps {
  readonly label: string;
  readonly value: number;
  readonly range: Range;
  readonly set: (value: number, gesture: string) => void;
}

export const Angle = ({ label, value, range: [least, most], set }: AngleProps) => (
  <Typed
    label={label}
    value={writeDegrees(value)}
    onType={reading({ read: readDegrees(least, most), write: writeDegrees, onRead: set })}
    help={`Degrees from ${writeDegrees(least)} to ${writeDegrees(most)}.`}
  />
);
