import { z } from 'zod';
import { InputError } from '../../core/errors.ts';
import { readAs } from '../../core/explain.ts';
import { universeNumber } from '../../core/output-settings.ts';
import type { Universe } from '../../core/units.ts';
import { fixtureType, footprint } from '../../rig/fixture-type.ts';
import { typesWith } from '../../rig/library.ts';
import { carryTypes, type TypeLookup } from '../../show/carry-types.ts';
import { checkShow, parseJson } from '../../show/read.ts';
import { type Place, planAddresses, type Wanted } from './addresses.ts';
import { clashesOf } from './clashes.ts';
import { type PatchPlan, patchInWords } from './words.ts';

/** As much of a show as addressing needs: it may lack addresses, and they may clash. */
const patchable = z.looseObject({
  fixtureTypes: z.array(fixtureType).default([]),
  fixtures: z
    .array(
      z.looseObject({
        id: z.string().min(1),
        name: z.string(),
        type: z.string(),
        mode: z.string(),
        universe: universeNumber.optional(),
        address: z.int().min(1).max(512).optional(),
      }),
    )
    .min(1)
    .max(2000),
});

export interface PatchOptions {
  /** Gives every lamp a new address; otherwise those that stand without a clash keep theirs. */
  readonly afresh: boolean;
  /** Free slots between kinds. */
  readonly gap: number;
}

/**
 * Addresses for the lamps of a show document.
 * @throws InputError for what is no show, a lamp of no known type or mode, one for which there is no room, or any other mistake in it
 */
export function planPatch(json: unknown, { afresh, gap }: PatchOptions): PatchPlan {
  const read = readAs(patchable, json, 'The patch has mistakes');
  const types = typesWith(read.fixtureTypes);
  const lamps = read.fixtures.map((one, i) => {
    const mode = types.get(one.type)?.modes.find(({ id }) => id === one.mode);
    if (mode === undefined)
      throw new InputError('The patch has mistakes', [
        { path: `fixtures[${i}]`, message: `there is no fixture type "${one.type}" with a mode "${one.mode}"` },
      ]);
    const before = placeOf(one);
    return { ...one, size: footprint(mode), before };
  });
  const wanted = lamps.map(
    ({ id, type, mode, size, before }): Wanted => ({ id, kind: `${type} ${mode}`, size, at: afresh ? undefined : before }),
  );
  const { places, left } = planAddresses(wanted, universesFor(lamps), gap);
  if (left.length > 0) throw new InputError(`There is no room for ${left.join(', ')}`);

  const planned = lamps.map(({ id, name, type, mode, size, before }) => {
    const { universe, address } = places.get(id) as Place;
    return { id, name, type, mode, size, before, universe, address };
  });
  const { fixtures } = json as { fixtures: object[] };
  const document = {
    ...(json as object),
    fixtures: fixtures.map((one, i) => ({ ...one, universe: planned[i]?.universe, address: planned[i]?.address })),
  };
  checkShow(document);
  const clashes = clashesOf(lamps.flatMap(({ id, size, before }) => (before === undefined ? [] : [{ id, size, ...before }])));
  return { lamps: planned, clashes, document };
}

/** As {@link planPatch}, from the text of a show file: what to tell, and the file with the new addresses. */
export function patchShow(
  text: string,
  options: PatchOptions,
  types: TypeLookup = () => undefined,
): { readonly words: string; readonly json: string } {
  const plan = planPatch(carryTypes(parseJson(text), types), options);
  return { words: patchInWords(plan), json: `${JSON.stringify(plan.document, null, 2)}\n` };
}

const placeOf = ({ universe, address }: { universe?: Universe | undefined; address?: number | undefined }): Place | undefined =>
  universe === undefined || address === undefined ? undefined : { universe, address };

/** Those that the show uses, then as many more as could be wanted: no lamp takes more than a universe. */
function universesFor(lamps: readonly { readonly before: Place | undefined }[]): Universe[] {
  const used = [...new Set(lamps.flatMap(({ before }) => before?.universe ?? []))].sort((a, b) => a - b);
  const more: Universe[] = [];
  for (let universe = 1; more.length < lamps.length; universe++) if (!used.includes(universe)) more.push(universe);
  return [...used, ...more];
}
