import type { RigFixture } from './rig.ts';

/** By its type, or because the show says so: then it counts as one, whatever its file calls it. */
export const isLaser = ({
  type,
  use,
}: {
  readonly type: Pick<RigFixture['type'], 'kind'>;
  readonly use: RigFixture['use'];
}): boolean => type.kind === 'laser' || use === 'laser';
