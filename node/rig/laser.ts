import { attribute } from '../core/attributes.ts';
import type { FixtureTypeInput } from './fixture-type.ts';

type ModeInput = FixtureTypeInput['modes'][number];

/** Whether a function can keep all light in: at its least a dimmer is dark and a shutter closed. */
function closes({
  attribute: name,
  physical = [0, 1],
  stretches,
  when,
}: ModeInput['channels'][number]['functions'][number]): boolean {
  if ((attribute(name).intensity !== true && name !== 'Shutter1') || when !== undefined) return false;
  return stretches === undefined ? Math.min(...physical) <= 0 : stretches.some(({ slot }) => slot === 0);
}

/**
 * Whether a fixture may be driven at all: a laser only where a channel of the whole is known to close it. Anything else would be a beam
 * that no blackout reaches.
 */
export const isDriven = ({ type, mode }: { readonly type: Pick<FixtureTypeInput, 'kind'>; readonly mode: ModeInput }): boolean =>
  type.kind !== 'laser' || mode.channels.some(({ part, functions }) => part === undefined && functions.some(closes));

/** Said wherever such a laser is patched. */
export const NEEDS_OWN_STOP =
  'nothing is known to close this laser, so it is not driven: it needs a stop of its own, in reach of a person';
