import { type FixtureType, footprint, footprints } from '../rig/fixture-type.ts';
import { lampKindOf } from './usual-use.ts';

/** A kind of lamp as one chooses it, by what it is and how it may be set. */
export function choiceOf(type: FixtureType) {
  const { words, use } = lampKindOf(type);
  return {
    id: type.id,
    name: type.name,
    ...(type.maker === undefined ? {} : { maker: type.maker }),
    words,
    use,
    modes: type.modes.map((mode) => ({
      id: mode.id,
      name: mode.name,
      channels: footprint(mode),
      sizes: footprints(mode).map(({ size }) => size),
    })),
  };
}
