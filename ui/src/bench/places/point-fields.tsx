import type { Point } from '../../../../node/rig/pose.ts';
import { Metres } from '../metres.tsx';

/** How lengths are counted in the room: its corner and its axes, without a picture of it. */
export const Axes = () => (
  <p class="quiet">
    Choose a corner of the room and stand in it with the room before you and to your right. That corner is 0, 0. From there x goes
    to your right along the wall, y straight ahead, and z up from the floor.
  </p>
);

/** As far as the document has a room. */
const FARTHEST = [-1000, 1000] as const;

const labels = { x: 'x, to the right', y: 'y, ahead', z: 'z, above the floor' } as const;
export type Along = keyof typeof labels;

interface PointFieldsProps {
  /** What is not known yet is empty. */
  readonly point: { readonly [One in Along]?: Point[One] | undefined };
  /** Which of its three; absent: all. */
  readonly along?: readonly Along[];
  /** Whose point it is, where there are several: stands before each label. */
  readonly of?: string;
  readonly set: (along: Along, value: number, gesture: string) => void;
}

/** A point of the room, in metres along its axes. */
export const PointFields = ({ point, along = ['x', 'y', 'z'], of, set }: PointFieldsProps) => (
  <div class="point-fields">
    {along.map((one) => (
      <Metres
        key={one}
        label={of === undefined ? labels[one] : `${of}: ${labels[one]}`}
        value={point[one]}
        range={FARTHEST}
        set={(value, by) => set(one, value, by)}
      />
    ))}
  </div>
);
