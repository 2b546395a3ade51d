import { isDeepStrictEqual } from 'node:util';
import type { OutputSettings } from '../core/output-settings.ts';
import { checkSettings } from './check.ts';
import type { Settings } from './settings.ts';

const TAKEN_OVER = 'The outputs in it are those of this node from now on; "duskhand settings" shows them.';
const LEFT_OUT = 'The outputs in it were left out: where this node sends is in its settings, which "duskhand settings" shows.';

/**
 * Outputs out of an old show document become the node's own where nobody has ever set any.
 * @param kept the settings as they stand; `areSet`: whether somebody set them
 * @returns the settings to keep instead, if any, and what to say of it
 * @throws InputError when the outputs could not work together.
 */
export function takenOver(
  outputs: readonly OutputSettings[] | undefined,
  kept: Settings,
  areSet: boolean,
): { readonly settings?: Settings; readonly note?: string } {
  if (outputs === undefined || isDeepStrictEqual(outputs, kept.outputs)) return {};
  if (areSet) return { note: LEFT_OUT };
  return { settings: checkSettings({ ...kept, outputs }), note: TAKEN_OVER };
}
