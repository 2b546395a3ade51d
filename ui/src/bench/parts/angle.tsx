import { readDegrees, writeDegrees } from '../amounts.ts';
import { Typed } from '../inputs.tsx';
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
    read={readDegrees(least, most)}
    help={`Degrees from ${writeDegrees(least)} to ${writeDegrees(most)}.`}
    onRead={(now, gesture) => set(now as number, gesture)}
  />
);
